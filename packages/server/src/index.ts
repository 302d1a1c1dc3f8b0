export { createServer, type ServerOptions } from './create-server.ts';
export { type Limits, limits } from './limits.ts';
export { httpFormat, type Problem, type ProblemCode, problemCodes, problems } from './problem.ts';
export { rejudgingStates } from './rejudgings/kept-rejudging.ts';
export { type ServeCall, type Serving, serve } from './serve.ts';
