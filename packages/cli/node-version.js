// Says in one line that Node is too old, before anything is loaded that an old Node cannot read. This file and
// prepare.js therefore keep to old syntax.

const oldestNode = '20.19.0';

/** Whether a version such as `20.19.0` is at least another; what follows a hyphen is not looked at. */
export function isAtLeast(version, oldest) {
  const [have, need] = [version, oldest].map((text) => text.split('-')[0].split('.').map(Number));
  const differing = [0, 1, 2].find((place) => have[place] !== need[place]);
  return differing === undefined || have[differing] > need[differing];
}

if (!isAtLeast(process.versions.node, oldestNode)) {
  process.stderr.write(
    `ferrule: this is Node ${process.versions.node}; Node ${oldestNode} or newer is needed (https://nodejs.org).\n`,
  );
  process.exit(2);
}
