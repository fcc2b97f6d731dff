// Whether what is on the screen is safe, in a word, and what to do where it is not.
import { html, nothing, type TemplateResult } from 'lit-html'
import type { Keeper } from '../book/keeper'
import type { Text } from '../text/en'

export function keptBadge(keeper: Keeper, text: Text): TemplateResult {
  const { state, place } = keeper.keeping.value
  const words = {
    kept: text.book.kept(place.revision),
    changed: place.id ? text.book.changed : text.book.here,
    keeping: text.book.keeping,
    conflict: text.book.conflict,
    apart: text.book.apart,
  }[state.kind]
  const why = state.kind === 'apart' ? `${state.why} ${state.remedy}`.trim() : ''
  return html`<p class="kept" data-state=${state.kind} role="status" title=${why || nothing}>
    <span>${words}</span>
    ${state.kind === 'apart' ? html`<button type="button" class="quiet" @click=${() => keeper.keep()}>${text.book.again}</button>` : nothing}
  </p>`
}
