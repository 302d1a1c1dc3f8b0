import { newerPage } from '../link/keep-page.ts';

/** Says that there is a newer page. When it is taken up is left to the person: nothing of a job depends on it. */
export function NewerPage() {
  if (!newerPage.value) return null;
  return (
    <div class="newer-page" role="status">
      <p>There is a newer version of this page.</p>
      <button type="button" class="second" onClick={() => location.reload()}>
        Take it up
      </button>
    </div>
  );
}
