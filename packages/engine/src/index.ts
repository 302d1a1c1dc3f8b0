export * from './model/diagnostic.ts';
