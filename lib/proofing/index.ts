export * from './alcohol';
export * from './balance';
export * from './blend';
export * from './hydrometer';
export * from './legal-strengths';
export * from './reduce';
export * from './yield';
