import type { InstrumentUsed } from '@ferrule/engine';
import { DueSaid } from './due-said.tsx';
import { InstrumentsToPick } from './remembered-shown.tsx';
import { TextField } from './text-field.tsx';

/** What is typed of an instrument; without a number it is none. */
export type InstrumentTyped = Partial<
  Record<'identity' | 'due' | 'resolution' | 'maximumPermissibleError' | 'length', string>
>;

/** The instrument that was typed, as a command names it; undefined where no number was typed. */
export function instrumentTyped(kind: string, typed: InstrumentTyped): InstrumentUsed | undefined {
  const said = Object.entries(typed).flatMap(([name, text]) => {
    const plain = text.trim();
    return plain === '' ? [] : [[name, plain] as const];
  });
  const { identity, ...more } = Object.fromEntries(said) as InstrumentTyped;
  return identity === undefined ? undefined : { kind, identity, ...more };
}

/** An instrument by the number on it, picked or typed, until when it is calibrated, and what stands on it where that differs. */
export function InstrumentFields({
  kind,
  title,
  calibrated,
  typed,
  onTyped,
  but = [],
  isRequired = false,
}: {
  readonly kind: string;
  readonly title: string;
  readonly calibrated: boolean;
  readonly typed: InstrumentTyped;
  readonly onTyped: (typed: InstrumentTyped) => void;
  readonly but?: readonly string[];
  /** Whether nothing goes on without it. */
  readonly isRequired?: boolean;
}) {
  const field = (name: keyof InstrumentTyped) => ({
    value: typed[name] ?? '',
    onValue: (text: string) => onTyped({ ...typed, [name]: text }),
  });
  return (
    <div class="instrument">
      <TextField label={`${title}: number on it`} isRequired={isRequired} {...field('identity')} />
      {calibrated ? (
        <div>
          <TextField label="Calibrated until" type="date" isRequired={isRequired} {...field('due')} />
          <DueSaid due={typed.due ?? ''} />
        </div>
      ) : null}
      <InstrumentsToPick
        kind={kind}
        but={[...but, typed.identity ?? '']}
        onPick={({ identity, due = '', resolution = '', maximumPermissibleError = '', length = '' }) =>
          onTyped({ identity, due, resolution, maximumPermissibleError, length })
        }
      />
      <details class="aside-form">
        <summary>It differs from what the procedure expects</summary>
        <p class="entry-hint">
          With the unit, as it stands on it. What is left empty is as the procedure says.
        </p>
        <TextField label="Smallest step that it shows" {...field('resolution')} />
        <TextField label="Largest error that it may have, ±" {...field('maximumPermissibleError')} />
        <TextField label="Of a torque wrench: length from drive to grip" {...field('length')} />
      </details>
    </div>
  );
}
