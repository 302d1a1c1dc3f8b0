import { adapterRatio, type Plan, type StepNode, wrenchSetting, writeQuantity } from '@ferrule/engine';
import { stageInBoth } from '../both-systems.ts';
import { type Markup, markup } from '../markup.ts';
import { blank, tick } from './boxes.ts';

type Tighten = Extract<StepNode['act'], { act: 'tighten' }>;

const torquesOf = ({ stages }: Tighten) =>
  stages.flatMap((stage) => (stage.stage === 'torque' ? [stage.torque] : []));

/** Whether what a wrench is set to is not what the procedure asks for. */
const isWorkedOut = (act: Tighten): boolean => act.adapter !== undefined || act.running !== undefined;

/** How the setting of the wrench is worked out, and what it comes to where everything for it is known. */
export function settingLines(act: Tighten, { instruments, entries }: Plan): readonly Markup[] {
  const torques = torquesOf(act);
  if (torques.length === 0 || !isWorkedOut(act)) return [];
  const { adapter } = act;
  const running = act.running === undefined ? undefined : entries[act.running];
  const sum = running === undefined ? 'torque' : '(torque + running torque)';
  const lever =
    adapter === undefined
      ? ''
      : ` × L / (L + ${writeQuantity(adapter.length)}${adapter.angle.value.sign === 0 ? '' : ` × cos ${writeQuantity(adapter.angle)}`})`;
  const where = [
    ...(adapter === undefined
      ? []
      : ['L is the length of the wrench from its drive to the middle of the grip']),
    ...(running === undefined ? [] : [`the running torque is: ${running.title}`]),
  ].join('; ');
  const formula = markup`<p>Set the wrench to: <b>${sum}${lever}</b>. ${where.charAt(0).toUpperCase()}${where.slice(1)}.</p>`;
  const wrench = instruments.find((one) => one.id === act.wrench);
  const { length, resolution } = wrench ?? {};
  const ratio = adapter === undefined || length === undefined ? undefined : adapterRatio(length, adapter);
  if (running !== undefined || length === undefined || resolution === undefined || ratio === undefined)
    return [formula];
  const settings = torques.map((torque) => {
    const { set } = wrenchSetting(torque, undefined, ratio, resolution);
    return `${writeQuantity(set)} for ${writeQuantity(torque)}`;
  });
  return [
    formula,
    markup`<p>That is, where L is ${writeQuantity(length)}: <b>${settings.join(', then ')}</b></p>`,
  ];
}

/** Boxes for what the wrench was set to, and for its length where it is not known before. */
export function settingBoxes(act: Tighten, { instruments }: Plan, isOne: boolean): readonly Markup[] {
  const torques = torquesOf(act);
  if (torques.length === 0 || !isWorkedOut(act)) return [];
  const wrench = instruments.find((one) => one.id === act.wrench);
  const size = isOne ? 'short' : 'narrow';
  const unit = wrench?.resolution.unit.symbol ?? '';
  const length =
    act.adapter === undefined || wrench?.length !== undefined
      ? []
      : [markup`<p>${blank(size, act.adapter.length.unit.symbol, 'L')}</p>`];
  return [
    ...length,
    ...torques.map(
      (torque) => markup`<p>${blank(size, isOne ? unit : '', `set for ${writeQuantity(torque)}`)}</p>`,
    ),
  ];
}

/** A pattern as a table: a row for each stage, the fasteners in their order; with boxes to tick where there is room. */
export function patternTable(act: Tighten, isOne: boolean): readonly Markup[] {
  const { pattern, stages } = act;
  if (pattern === undefined) return [];
  return [
    markup`<table class="list pattern"><caption>Over all fasteners in this order, before the next stage begins.</caption><tbody>${stages.map(
      (stage) =>
        markup`<tr><th scope="row">${stageInBoth(stage)}</th>${pattern.map((one) => markup`<td>${isOne ? tick(String(one)) : String(one)}</td>`)}</tr>`,
    )}</tbody></table>`,
  ];
}
