import type { Plan } from '../model/plan.ts';
import { readEntry, writeQuantity } from '../quantity/index.ts';
import type { Answering } from './answering.ts';
import type { Batch } from './batch.ts';
import type { Command } from './command.ts';

/** Notes that a size of a stock is not in the drawer, or is there again. Choices that are made from then on go by it. */
export function outOfStock(
  plan: Plan,
  batch: Batch,
  { stock: id, size, back }: Extract<Command, { command: 'out-of-stock' }>,
): Answering {
  const stocks = plan.selections.map((one) => one.stock);
  const stock = stocks.find((one) => one.id === id);
  if (stock === undefined) {
    return [
      {
        code: 'not-offered',
        message: `Nothing is chosen from ${id} in this job.`,
        remedy: `Chosen from: ${[...new Set(stocks.map((one) => one.id))].join(', ') || 'nothing'}.`,
        about: id,
      },
    ];
  }
  const read = readEntry(size, stock);
  const listed =
    'fault' in read ? undefined : stock.sizes.find((one) => one.value.equals(read.quantity.value));
  if (listed === undefined) {
    return [
      {
        code: 'unknown-answer',
        message: `${size} is no size of ${stock.title}.`,
        remedy: `Its sizes: ${stock.sizes.map(writeQuantity).join(', ')}.`,
        about: id,
      },
    ];
  }
  const written = writeQuantity(listed);
  const isOut = batch.job.usedUp.some((one) => one.stock === id && one.size === written);
  if (isOut !== (back === true)) {
    return [
      {
        code: 'not-offered',
        message: `${written} of ${stock.title} ${isOut ? 'is noted as used up already' : 'is not noted as used up'}.`,
        remedy: 'Go on.',
        about: id,
      },
    ];
  }
  return batch.add({ kind: 'out-of-stock', stock: id, size: written, ...(back ? { back } : {}) });
}
