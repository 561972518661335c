export * from './broker-secrets';
export * from './environment';
export * from './feed-mapping';
export * from './feeds-schema';
export * from './load';
export { isLoopback } from './network-checks';
export * from './read-document';
export * from './schema';
export * from './secret';
