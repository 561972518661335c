export * from './agreement';
export * from './probe';
export * from './reference-points';
