import { listOf } from './frame.ts';
import type { Pack } from './generated/document.ts';
import { pointerTo } from './pointer.ts';
import type { Report } from './report.ts';
import type { ResolvedVariant } from './resolve-variant.ts';

/** Looks up the names that steps take from the pack. One that is not declared is reported, and each is marked as used. */
export class PackNames {
  readonly #pack: Pack;
  readonly #variant: ResolvedVariant;
  readonly #report: Report;

  constructor(pack: Pack, variant: ResolvedVariant, report: Report) {
    this.#pack = pack;
    this.#variant = variant;
    this.#report = report;
  }

  operations(ids: string | readonly string[] | undefined, pointer: string): void {
    const operations = this.#pack.operations ?? {};
    for (const id of listOf(ids)) {
      if (!Object.hasOwn(operations, id))
        this.#report.unknown('operation', id, Object.keys(operations), pointer);
      this.#report.use('operations', id);
    }
  }

  hazards(ids: readonly string[], pointer: string): void {
    const hazards = this.#pack.hazards ?? {};
    ids.forEach((id, number) => {
      if (!Object.hasOwn(hazards, id))
        this.#report.unknown('hazard', id, Object.keys(hazards), pointerTo(pointer, number));
      this.#report.use('hazards', id);
    });
  }

  /** What a step is done with: equipment, supplies, instruments. */
  uses(ids: readonly string[], pointer: string): void {
    const declared = [this.#pack.equipment ?? {}, this.#pack.supplies ?? {}, this.#pack.instruments ?? {}];
    ids.forEach((id, number) => {
      const known = declared.find((one) => Object.hasOwn(one, id));
      if (known === undefined && !this.#report.isFull)
        this.#report.unknown(
          'equipment or supply',
          id,
          declared.flatMap((one) => Object.keys(one)),
          pointerTo(pointer, number),
        );
      for (const section of ['equipment', 'supplies', 'instruments']) this.#report.use(section, id);
      for (const section of ['equipment', 'supplies'] as const) this.#hazardsOf(section, id);
    });
  }

  #hazardsOf(section: 'equipment' | 'supplies', id: string): void {
    const known = this.#pack.hazards ?? {};
    const own = this.#pack[section] ?? {};
    const hazards = (Object.hasOwn(own, id) ? own[id]?.hazards : undefined) ?? [];
    hazards.forEach((hazard, number) => {
      const at = pointerTo('', section, id, 'hazards', number);
      if (!Object.hasOwn(known, hazard)) this.#report.unknown('hazard', hazard, Object.keys(known), at);
    });
  }

  role(role: string | undefined, pointer: string): void {
    if (role === undefined) return;
    const roles = this.#pack.roles ?? {};
    if (!Object.hasOwn(roles, role)) this.#report.unknown('role', role, Object.keys(roles), pointer);
    this.#report.use('roles', role);
  }

  /** The declared ones among conditions to confirm, with what they say. */
  conditions(
    ids: readonly string[],
    pointer: string,
  ): readonly { readonly id: string; readonly text: string; readonly at: string }[] {
    const declared = this.#pack.conditions ?? {};
    return ids.flatMap((id, number) => {
      const at = pointerTo(pointer, number);
      const condition = Object.hasOwn(declared, id) ? declared[id] : undefined;
      if (condition === undefined) this.#report.unknown('condition', id, Object.keys(declared), at);
      this.#report.use('conditions', id);
      return condition === undefined ? [] : [{ id, text: condition.text, at }];
    });
  }

  /** The titles of what has to be in hand before the work; of a part that there is per bore, with how many. */
  titles(
    key: 'equipment' | 'supplies' | 'spares',
    ids: readonly string[],
    pointer: string,
  ): readonly string[] {
    const { equipment = {}, instruments = {}, supplies = {}, parts = {} } = this.#pack;
    const sections: readonly Readonly<Record<string, { readonly title: string }>>[] =
      key === 'equipment' ? [equipment, instruments] : key === 'supplies' ? [supplies] : [parts];
    return ids.flatMap((id, number) => {
      const section = sections.find((one) => Object.hasOwn(one, id));
      if (section === undefined) {
        this.#report.unknown(
          key === 'spares' ? 'part' : key,
          id,
          sections.flatMap((one) => Object.keys(one)),
          pointerTo(pointer, number),
        );
        return [];
      }
      for (const name of ['equipment', 'instruments', 'supplies', 'parts']) this.#report.use(name, id);
      const title = section[id]?.title ?? id;
      const each = key === 'spares' && parts[id]?.per === 'bore' ? ` (${this.#variant.bores.length})` : '';
      return [title + each];
    });
  }
}
