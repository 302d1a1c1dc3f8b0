/** Sections of a pack in which each thing has a name of its own, and which libraries may have. Trials are no such things. */
export const namedSections = [
  'roles',
  'conditions',
  'hazards',
  'equipment',
  'supplies',
  'instruments',
  'tables',
  'parts',
  'joints',
  'stock',
  'fields',
  'states',
  'operations',
  'variants',
  'holds',
  'procedures',
] as const;
