// Two pages changed one plan: both are shown, and somebody decides. Nothing is lost either way.
import { effect } from '@preact/signals-core'
import { html } from 'lit-html'
import { makeDialog } from '../shell/dialog'
import { planText, type Plan } from '../state/plan'
import type { Store } from '../state/store'
import type { Text } from '../text/en'
import { differences } from './differ'
import type { Keeper } from './keeper'
import { when } from './room'

export function watchForConflicts(store: Store, keeper: Keeper, text: Text): void {
  const decide = async (what: 'ours' | 'theirs' | 'apart'): Promise<void> => {
    await keeper.decide(what, text.book.tookTheirs)
    dialog.close()
  }
  const dialog = makeDialog('conflict', text.book.conflictTitle, text, () => {
    const { state } = keeper.keeping.value
    if (state.kind !== 'conflict') return html``
    const theirs = planText(JSON.parse(state.theirs.text) as Plan)
    return html`<p>${text.book.conflictAbout(state.theirs.revision, when(state.theirs.made))}</p>
      <table class="differences">
        <thead>
          <tr>
            <th scope="col">${text.book.where}</th>
            <th scope="col">${text.book.yours}</th>
            <th scope="col">${text.book.theirs}</th>
          </tr>
        </thead>
        <tbody>
          ${differences(store.plan.value, JSON.parse(theirs) as Plan).map(
            ({ path, ours, theirs: other }) =>
              html`<tr>
                <th scope="row">${path}</th>
                <td>${ours}</td>
                <td>${other}</td>
              </tr>`,
          )}
        </tbody>
      </table>
      <p class="choices">
        <button type="button" class="main" @click=${() => decide('ours')}>${text.book.keepOurs}</button>
        <button type="button" @click=${() => decide('theirs')}>${text.book.takeTheirs}</button>
        <button type="button" @click=${() => decide('apart')}>${text.book.keepApart}</button>
      </p>`
  })
  effect(() => {
    if (keeper.keeping.value.state.kind === 'conflict' && !dialog.element.open) dialog.open()
  })
}
