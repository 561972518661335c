export * from './broker';
export { roleRights } from './permissions';
