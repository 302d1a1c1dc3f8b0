export declare function formatPage(schemaText: string): string;
