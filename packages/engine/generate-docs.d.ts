export declare function formatPage(schemaText: string): string;
export declare const namedForms: readonly (readonly [
  name: string,
  takes: string,
  gives: string,
  example: { readonly [form: string]: string | readonly string[] | { readonly [key: string]: string } },
])[];
