// The book's room: what is in it on the left, what lies open on the right.
import { html, nothing, type TemplateResult } from 'lit-html'
import type { Api, Entry } from '../server/api'
import { makeDialog, type Dialog } from '../shell/dialog'
import type { Plan } from '../state/plan'
import type { Store } from '../state/store'
import type { Text } from '../text/en'
import { examples, empty } from './examples'
import type { Keeper } from './keeper'
import { personPage } from './person-page'
import { planPage } from './plan-page'
import { makeShelf, type Kind, type Shelf } from './shelf'
import { wholeBook } from './whole'

export interface Room {
  readonly store: Store
  readonly api: Api
  readonly keeper: Keeper
  readonly shelf: Shelf
  readonly text: Text
  close(): void
}

const KINDS: readonly Kind[] = ['all', 'person', 'plan', 'note']

export const when = (time: string): string =>
  new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'short' }).format(new Date(time))

function openEntry(shelf: Shelf, entry: Entry): void {
  if (entry.kind === 'plan' || (entry.kind === 'note' && entry.plan)) void shelf.openPlan(entry.plan || entry.id)
  else void shelf.openPerson(entry.person || entry.id)
}

function row({ shelf, text }: Room, entry: Entry): TemplateResult {
  const open = shelf.page.value
  const here =
    (open?.kind === 'person' && entry.kind === 'person' && open.person.id === entry.id) ||
    (open?.kind === 'plan' && entry.kind === 'plan' && open.plan.id === entry.id)
  return html`<li>
    <button type="button" class="entry" aria-current=${here ? 'true' : nothing} @click=${() => openEntry(shelf, entry)}>
      <span class="entry-kind">${text.book.kinds[entry.kind]}</span>
      <span class="entry-name">${entry.name || entry.excerpt || text.shell.untitled}</span>
      <span class="entry-more">${[entry.kind === 'person' ? '' : entry.who, when(entry.changed)].filter(Boolean).join(' · ')}</span>
      ${entry.tags.map((tag) => html`<span class="tag">${tag}</span>`)}
    </button>
  </li>`
}

function list(room: Room): TemplateResult {
  const { shelf, text, api, keeper } = room
  const { all, entries } = shelf.found.value
  const newPerson = async (event: Event): Promise<void> => {
    event.preventDefault()
    const form = event.target as HTMLFormElement
    const name = String(new FormData(form).get('name') ?? '').trim()
    if (!name) return
    const person = await shelf.attempt(() => api.addPerson({ name, tags: [], measures: null }), () => text.book.addedPerson(name))
    if (!person) return
    form.reset()
    await Promise.all([shelf.look(), shelf.openPerson(person.id)])
  }
  const newPlan = async (event: Event): Promise<void> => {
    const choose = event.target as HTMLSelectElement
    const plan: Plan | undefined = choose.value === 'empty' ? empty(text.book.emptyTitle) : examples.find(({ title }) => title === choose.value)
    choose.value = ''
    if (!plan) return
    await keeper.begin(plan, text.book.begunWith(plan.title ?? ''))
    room.close()
  }
  return html`<div class="shelf">
    <form role="search" class="find" @submit=${(event: Event) => event.preventDefault()}>
      <label
        >${text.book.find}
        <input type="search" .value=${shelf.words.value} @input=${(event: Event) => ((shelf.words.value = (event.target as HTMLInputElement).value), void shelf.look())}
      /></label>
      <label
        >${text.book.show}
        <select @change=${(event: Event) => ((shelf.kind.value = (event.target as HTMLSelectElement).value as Kind), void shelf.look())}>
          ${KINDS.map((kind) => html`<option value=${kind} ?selected=${kind === shelf.kind.value}>${text.book.kindsMany[kind]}</option>`)}
        </select></label
      >
      ${shelf.tag.value
        ? html`<button type="button" class="tag" @click=${() => ((shelf.tag.value = ''), void shelf.look())}>${text.book.notTag(shelf.tag.value)}</button>`
        : nothing}
    </form>
    <p class="count" role="status">${text.book.count(entries.length, all)}</p>
    <ul class="entries">
      ${entries.map((entry) => row(room, entry))}
    </ul>
    <form class="new" @submit=${newPerson}>
      <label>${text.book.newPerson} <input name="name" required maxlength="200" autocomplete="off" /></label>
      <button>${text.book.add}</button>
    </form>
    <label class="new"
      >${text.book.newPlan}
      <select @change=${newPlan}>
        <option value="">${text.book.choose}</option>
        <option value="empty">${text.book.empty}</option>
        ${examples.map(({ title }) => html`<option value=${title ?? ''}>${title}</option>`)}
      </select></label
    >
    ${wholeBook(room)}
  </div>`
}

function opened(room: Room): TemplateResult {
  const page = room.shelf.page.value
  if (!page) return html`<p class="hint">${room.text.book.hint}</p>`
  return page.kind === 'person' ? personPage(room, page) : planPage(room, page)
}

export function makeBookRoom(store: Store, api: Api, keeper: Keeper, text: Text): Dialog {
  const shelf = makeShelf(api, { text: text.book.unreachable, remedy: text.book.start })
  const room: Room = { store, api, keeper, shelf, text, close: () => dialog.close() }
  const dialog = makeDialog('book', text.book.title, text, () => {
    const trouble = shelf.trouble.value
    return html`<div aria-live="polite">
        ${trouble ? html`<p class="trouble">${trouble.text} ${trouble.remedy}</p>` : nothing}
        ${shelf.said.value ? html`<p class="said">${shelf.said.value}</p>` : nothing}
      </div>
      <div class="book-rooms">${list(room)} <section class="open-page">${opened(room)}</section></div>`
  })
  return {
    ...dialog,
    open() {
      void keeper.keep().then(() => shelf.look())
      const { place } = keeper.keeping.peek()
      if (place.id) void shelf.openPlan(place.id)
      dialog.open()
    },
  }
}
