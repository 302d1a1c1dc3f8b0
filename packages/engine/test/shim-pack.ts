import { packOf, type Written } from './small-pack.ts';

/** Opening pressure of a nozzle set by shims. Every value is invented, as the engine is. */
export const shimStock: Written = {
  title: 'Adjusting shim of the nozzle holder',
  quantity: 'length',
  sizes: { from: '1.00 mm', to: '1.50 mm', by: '0.05 mm' },
};

const gauges: Written = {
  tester: { title: 'Nozzle tester', quantity: 'pressure', range: ['0 bar', '400 bar'], resolution: '1 bar' },
  micrometer: { title: 'Micrometer', quantity: 'length', range: ['0 mm', '25 mm'], resolution: '0.01 mm' },
};

const pressure: Written = {
  measurand: 'Opening pressure',
  quantity: 'pressure',
  unit: 'bar',
  instrument: 'tester',
  plausible: ['100 bar', '350 bar'],
};

const select: Written = {
  from: 'shims',
  for: 'opening-limits',
  fitted: 'shim-found',
  sensitivity: '100 bar/mm',
  more: 'raises',
};

/** Reads, chooses, fits and reads again until it is right. */
const setPressure = (more: Written = {}, step: Written = {}): Written => ({
  readings: {
    opening: pressure,
    'shim-found': {
      measurand: 'Shim that is fitted',
      quantity: 'length',
      unit: 'mm',
      instrument: 'micrometer',
      plausible: ['0.90 mm', '1.60 mm'],
    },
  },
  tolerances: {
    'opening-limits': {
      of: 'opening',
      title: 'Opening pressure',
      between: ['210 bar', '218 bar'],
      source: 'invented',
    },
  },
  steps: [
    {
      step: 'try',
      do: 'Pump until the nozzle opens.',
      read: 'opening',
      judge: 'opening-limits',
      'if-nonconforming': {
        rework: [
          { step: 'take-apart', do: 'Take the nozzle holder apart.', read: 'shim-found' },
          {
            step: 'choose-shim',
            select: { ...select, ...more },
            'if-nonconforming': { hold: 'ask-the-lead' },
            ...step,
          },
          { step: 'assemble', do: 'Assemble the nozzle holder with it.' },
        ],
        'resume-at': 'try',
        attempts: '4',
        exhausted: 'worn-out',
      },
    },
  ],
});

export const shimPack = (more: Written = {}, step: Written = {}, sections: Written = {}): Written =>
  packOf(setPressure(more, step), { instruments: gauges, stock: { shims: shimStock }, ...sections });

/** The same in one go: what was found is not judged, and nothing is done again. */
export function straightPack(): Written {
  const { readings, tolerances } = setPressure();
  return packOf(
    {
      readings,
      tolerances,
      steps: [
        { step: 'try', do: 'Pump until the nozzle opens.', read: 'opening' },
        { step: 'take-apart', do: 'Take the nozzle holder apart.', read: 'shim-found' },
        { step: 'choose-shim', select, 'if-nonconforming': { hold: 'ask-the-lead' } },
        { step: 'assemble', do: 'Assemble the nozzle holder with it.' },
      ],
    },
    { instruments: gauges, stock: { shims: shimStock } },
  );
}
