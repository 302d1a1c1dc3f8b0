import { type PlanStock, writeQuantity } from '@ferrule/engine';
import type { Beside } from './aside-form.tsx';
import { RefusalsShown } from './refusals-shown.tsx';
import { useGiven } from './use-given.ts';

/** Which sizes of a part are in the drawer: of the stock that a step chooses from, or of every one that the procedure has. */
export function DrawerNoted({ stock: asked, ...beside }: Beside & { readonly stock?: string }) {
  const stocks = new Map(beside.session.plan.selections.map(({ stock }) => [stock.id, stock]));
  const shown = [...stocks.values()].filter(({ id }) => asked === undefined || id === asked);
  return shown.map((stock) => <Drawer key={stock.id} {...beside} stock={stock} />);
}

/** A box for each size; one that is not ticked is left out by choices from now on. */
function Drawer({ session, actor, stock }: Beside & { readonly stock: PlanStock }) {
  const { give, refused } = useGiven(session, actor);
  const out = session.folded.value.job.usedUp.filter((one) => one.stock === stock.id);
  return (
    <details class="aside-form">
      <summary>
        {stock.title}: what is in the drawer
        {out.length === 0 ? '' : ` (not there: ${out.map(({ size }) => size).join(', ')})`}
      </summary>
      <fieldset class="sizes">
        <legend>A size without a tick is not there, and another one is chosen.</legend>
        {stock.sizes.map((one) => {
          const size = writeQuantity(one);
          const isOut = out.some((each) => each.size === size);
          return (
            <label key={size} class="check">
              <input
                type="checkbox"
                checked={!isOut}
                onChange={() =>
                  give({ command: 'out-of-stock', stock: stock.id, size, ...(isOut ? { back: true } : {}) })
                }
              />
              <span>{size}</span>
            </label>
          );
        })}
      </fieldset>
      <RefusalsShown plan={session.plan} refusals={refused} />
    </details>
  );
}
