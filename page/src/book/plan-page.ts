// One plan: every revision of it, tags and notes; opening it, or one of its earlier selves.
import { html, nothing, type TemplateResult } from 'lit-html'
import type { Revision } from '../server/api'
import type { Plan } from '../state/plan'
import { notesOf } from './notes'
import { when, type Room } from './room'
import { tagsOf, type PlanPage } from './shelf'

export function planPage(room: Room, page: PlanPage): TemplateResult {
  const { api, shelf, store, keeper, text } = room
  const { plan, who, revisions, notes, leaving } = page
  const title = plan.title || text.shell.untitled
  const onScreen = keeper.keeping.value.place.id === plan.id

  const open = async (): Promise<void> => {
    await keeper.open(plan, text.book.openedPlan(title))
    room.close()
  }
  // An earlier self comes back as an edit of the newest, so that nothing in between is lost.
  const bringBack = async (revision: Revision): Promise<void> => {
    const then = await shelf.attempt(() => api.revision(plan.id, revision.revision))
    if (!then) return
    if (!onScreen) await keeper.open(plan, text.book.openedPlan(title))
    store.change(text.book.broughtBack(revision.revision), JSON.parse(then.text) as Plan)
    room.close()
  }
  const copy = async (): Promise<void> => {
    await keeper.begin(JSON.parse(plan.text) as Plan, text.book.copied(title), plan.person)
    await keeper.keepNow()
    room.close()
  }
  const keepTags = async (event: Event): Promise<void> => {
    event.preventDefault()
    const tags = tagsOf(String(new FormData(event.target as HTMLFormElement).get('tags')))
    if (onScreen) await keeper.tag(tags)
    else await shelf.attempt(() => api.keepPlan({ ...plan, tags }), () => text.book.keptTags)
    await Promise.all([shelf.openPlan(plan.id), shelf.look()])
  }
  const forget = async (): Promise<void> => {
    const gone = await shelf.attempt(() => api.forgetPlan(plan.id, plan.revision), (what) => text.book.forgot(title, what))
    if (!gone) return
    await keeper.forgotten([plan.id])
    shelf.page.value = null
    await shelf.look()
  }

  return html`<article class="page-of-book">
    <p class="entry-kind">${text.book.kinds.plan}</p>
    <h3>${title}</h3>
    <p class="entry-more">${[who, text.book.revision(plan.revision), when(plan.made)].filter(Boolean).join(' · ')}</p>
    <p>
      <button type="button" class="main" @click=${open} ?disabled=${onScreen}>${onScreen ? text.book.onScreen : text.book.open}</button>
      <button type="button" @click=${copy}>${text.book.copy}</button>
      ${plan.person ? html`<button type="button" @click=${() => shelf.openPerson(plan.person)}>${text.book.to(who)}</button>` : nothing}
    </p>
    <form class="fields" @submit=${keepTags}>
      <label>${text.book.tags} <input name="tags" maxlength="250" .value=${plan.tags.join(', ')} autocomplete="off" /></label>
      <button>${text.book.keep}</button>
    </form>
    <section>
      <h4>${text.book.revisions}</h4>
      <ol class="revisions" reversed>
        ${revisions.map(
          (one) =>
            html`<li value=${one.revision}>
              <span>${when(one.made)}</span> ${one.title === plan.title ? nothing : html`<span>${one.title}</span>`}
              ${one.revision === plan.revision
                ? html`<span class="entry-more">${text.book.newest}</span>`
                : html`<button type="button" class="quiet" aria-label=${text.book.bringBackOf(one.revision)} @click=${() => bringBack(one)}>
                    ${text.book.bringBack}
                  </button>`}
            </li>`,
        )}
      </ol>
    </section>
    ${notesOf(room, 'plans', plan.id, notes)}
    <section class="leave">
      ${leaving
        ? html`<p>${text.book.wouldForgetPlan(title, revisions.length, notes.length)}</p>
            <button type="button" class="stop" @click=${forget}>${text.book.forgetNow}</button>
            <button type="button" @click=${() => (shelf.page.value = { ...page, leaving: false })}>${text.shell.cancel}</button>`
        : html`<button type="button" class="quiet stop" @click=${() => (shelf.page.value = { ...page, leaving: true })}>${text.book.forget(title)}</button>`}
    </section>
  </article>`
}
