/** Whether what a row is about goes by this name, wherever it stands: `drift-limits@3` by `drift-limits`. */
export const isOf = (of: string, name: string): boolean => of.replace(/@.*$/, '') === name;
