/** What a valve clearance job is begun with; demonstration data. */
export const beginning = {
  by: 'technician A',
  pack: 'valve-clearance',
  revision: '1.0.0',
  procedure: 'set-clearances',
  variant: 'marram-four',
  persons: [
    { role: 'technician', person: 'technician A' },
    { role: 'lead', person: 'lead C' },
  ],
  instruments: [
    { kind: 'feeler-gauge', identity: 'FG-1' },
    { kind: 'torque-wrench', identity: 'TW-2', due: '2099-12-31' },
  ],
};
