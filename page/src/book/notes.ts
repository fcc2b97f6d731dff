// Dated notes on a person or a plan.
import { html, type TemplateResult } from 'lit-html'
import type { Note } from '../server/api'
import { when, type Room } from './room'

export function notesOf({ api, shelf, text }: Room, of: 'people' | 'plans', id: number, notes: readonly Note[]): TemplateResult {
  const again = () => (of === 'people' ? shelf.openPerson(id) : shelf.openPlan(id))
  const add = async (event: Event): Promise<void> => {
    event.preventDefault()
    const form = event.target as HTMLFormElement
    const words = String(new FormData(form).get('note') ?? '').trim()
    if (!words) return
    const added = await shelf.attempt(() => api.addNote(of, id, words))
    if (!added) return
    form.reset()
    await again()
  }
  const remove = async (note: Note): Promise<void> => {
    await shelf.attempt(() => api.forgetNote(note.id))
    await again()
  }
  return html`<section class="notes">
    <h4>${text.book.notes}</h4>
    <ul>
      ${notes.map(
        (note) =>
          html`<li>
            <time datetime=${note.made}>${when(note.made)}</time>
            <p>${note.text}</p>
            <button type="button" class="quiet" aria-label=${text.book.removeNote(when(note.made))} @click=${() => remove(note)}>${text.book.remove}</button>
          </li>`,
      )}
    </ul>
    <form @submit=${add}>
      <label>${text.book.note} <textarea name="note" rows="2" maxlength="4000" required></textarea></label>
      <button>${text.book.addNote}</button>
    </form>
  </section>`
}
