export { type FollowerPosition, followerAt } from './follower.ts';
export {
  camAngle,
  firingAngles,
  MOST_CYLINDERS,
  type Phasing,
  type PhasingFault,
  phasingFaults,
} from './phasing.ts';
export { angleForDrop, pistonDrop, type SliderCrank, type SliderCrankFault } from './piston.ts';
export {
  type AllowedStops,
  MOST_STOPS,
  planRotation,
  type RotationPlan,
  type RotationRefusal,
  type RotationRequest,
  type RotationStop,
} from './plan-rotation.ts';
export { type StrokePosition, strokeAt } from './stroke.ts';
