// The whole book at once: written out to be read elsewhere, copied as it is, and read in.
import { html, type TemplateResult } from 'lit-html'
import type { Room } from './room'

function save(blob: Blob, name: string): void {
  const link = document.createElement('a')
  link.href = URL.createObjectURL(blob)
  link.download = name
  link.click()
  setTimeout(() => URL.revokeObjectURL(link.href), 10000)
}

export function wholeBook({ api, shelf, text }: Room): TemplateResult {
  const day = new Date().toISOString().slice(0, 10)
  const out = async (): Promise<void> => {
    const blob = await shelf.attempt(() => api.exportBook(), () => text.book.exported)
    if (blob) save(blob, `lengthwise-book-${day}.json`)
  }
  const backup = async (): Promise<void> => {
    const blob = await shelf.attempt(() => api.backup(), () => text.book.backedUp)
    if (blob) save(blob, `lengthwise-book-${day}.sqlite`)
  }
  const into = async (event: Event): Promise<void> => {
    const input = event.target as HTMLInputElement
    const file = input.files?.[0]
    if (!file) return
    await shelf.attempt(async () => api.importBook(await file.text()), () => text.book.imported)
    input.value = ''
    await shelf.look()
  }
  return html`<details class="whole">
    <summary>${text.book.whole}</summary>
    <p>${text.book.wholeAbout}</p>
    <p>
      <button type="button" @click=${out}>${text.book.export}</button>
      <button type="button" @click=${backup}>${text.book.backup}</button>
    </p>
    <label>${text.book.import} <input type="file" accept="application/json,.json" @change=${into} /></label>
  </details>`
}
