/** Where a value lies: inside by the guard band or more, inside by less, outside by less, outside by it or more. */
export type Zone = 'inside' | 'inside-band' | 'outside-band' | 'outside';
