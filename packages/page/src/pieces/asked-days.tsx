/** The first and the last day of what is looked for, both of them inside. */
export function AskedDays({ said }: { readonly said: URLSearchParams }) {
  return (
    <>
      <label>
        From the day
        <input name="from" type="date" defaultValue={said.get('from') ?? ''} />
      </label>
      <label>
        Until the day
        <input name="until" type="date" defaultValue={said.get('until') ?? ''} />
      </label>
    </>
  );
}
