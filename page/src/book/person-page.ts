// One person: what is known of them, their plans and notes, and taking all of it out of the book.
import { html, nothing, type TemplateResult } from 'lit-html'
import { planText, type Plan } from '../state/plan'
import { notesOf } from './notes'
import { when, type Room } from './room'
import { tagsOf, type PersonPage } from './shelf'

export function personPage(room: Room, page: PersonPage): TemplateResult {
  const { api, shelf, store, keeper, text } = room
  const { person, plans, notes, leaving } = page
  const again = () => Promise.all([shelf.openPerson(person.id), shelf.look()])

  const keep = async (event: Event): Promise<void> => {
    event.preventDefault()
    const given = new FormData(event.target as HTMLFormElement)
    const wanted = { ...person, name: String(given.get('name')).trim(), tags: tagsOf(String(given.get('tags'))) }
    if (await shelf.attempt(() => api.keepPerson(wanted), () => text.book.keptPerson)) await again()
  }
  const measuresFromScreen = async (): Promise<void> => {
    const kept = await shelf.attempt(
      async () => {
        const { measures } = await api.measuresOf(planText(store.plan.peek()))
        return api.keepPerson({ ...person, measures })
      },
      () => text.book.keptMeasures(person.name),
    )
    if (kept) await again()
  }
  // The plan on the screen, or none, on this person's head.
  const planFor = async (): Promise<void> => {
    const begun = await shelf.attempt(() => api.planFor(planText(store.plan.peek()), person.measures, person.name))
    if (!begun) return
    await keeper.begin(JSON.parse(begun.text) as Plan, text.book.begunFor(person.name), person.id)
    await keeper.keepNow()
    room.close()
  }
  const ask = async (): Promise<void> => {
    const holds = await shelf.attempt(() => api.held(person.id))
    if (holds) shelf.page.value = { ...page, leaving: holds }
  }
  const forget = async (): Promise<void> => {
    const gone = await shelf.attempt(() => api.forgetPerson(person.id, person.revision), (what) => text.book.forgot(person.name, what))
    if (!gone) return
    await keeper.forgotten(plans.map(({ id }) => id))
    shelf.page.value = null
    await shelf.look()
  }

  const head = (person.measures?.['head'] ?? {}) as Record<string, unknown>
  const units = String(person.measures?.['units'] ?? '')
  return html`<article class="page-of-book">
    <p class="entry-kind">${text.book.kinds.person}</p>
    <h3>${person.name}</h3>
    <p class="entry-more">${text.book.changedAt(when(person.changed))}</p>
    <form class="fields" @submit=${keep}>
      <label>${text.book.name} <input name="name" required maxlength="200" .value=${person.name} autocomplete="off" /></label>
      <label>${text.book.tags} <input name="tags" maxlength="250" .value=${person.tags.join(', ')} autocomplete="off" /></label>
      <button>${text.book.keep}</button>
    </form>
    <section>
      <h4>${text.book.measures}</h4>
      ${person.measures
        ? html`<dl class="measured">
            ${Object.entries(head).map(
              ([key, value]) => html`<div>
                <dt>${key.replaceAll('_', ' ')}</dt>
                <dd>${String(value)}${typeof value === 'number' ? ` ${units}` : ''}</dd>
              </div>`,
            )}
          </dl>`
        : html`<p>${text.book.noMeasures}</p>`}
      <button type="button" @click=${measuresFromScreen}>${text.book.takeMeasures}</button>
    </section>
    <section>
      <h4>${text.book.kindsMany.plan}</h4>
      <ul class="entries">
        ${plans.map(
          (plan) =>
            html`<li>
              <button type="button" class="entry" @click=${() => shelf.openPlan(plan.id)}>
                <span class="entry-name">${plan.name || text.shell.untitled}</span>
                <span class="entry-more">${text.book.revision(plan.revision)} · ${when(plan.changed)}</span>
              </button>
            </li>`,
        )}
      </ul>
      <button type="button" @click=${planFor}>${text.book.planFor(person.name)}</button>
    </section>
    ${notesOf(room, 'people', person.id, notes)}
    <section class="leave">
      ${leaving
        ? html`<p>${text.book.wouldForget(person.name, leaving)}</p>
            <button type="button" class="stop" @click=${forget}>${text.book.forgetNow}</button>
            <button type="button" @click=${() => (shelf.page.value = { ...page, leaving: null })}>${text.shell.cancel}</button>`
        : html`<button type="button" class="quiet stop" @click=${ask}>${text.book.forget(person.name)}</button>`}
      ${nothing}
    </section>
  </article>`
}
