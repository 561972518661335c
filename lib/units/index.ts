export * from './temperature';
export * from './units';
