/** How a serial number stands to its place. */
export const partWords = {
  found: 'written down as found',
  own: 'belongs here',
  other: "another bore's",
  renewed: 'new',
} as const;
