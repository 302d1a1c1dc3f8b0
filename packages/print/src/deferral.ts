export { deferral } from '@ferrule/engine/deferral';
