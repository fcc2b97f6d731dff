// What the page shows when it opens: what lay on it last, with all that can be undone; what another page has open; or the finished
// example.
import demo from '../../../examples/graduated-bob.json'
import type { Api } from '../server/api'
import type { Drafts } from '../state/drafts'
import { begin, record, type History } from '../state/history'
import { planText, type Plan } from '../state/plan'
import type { Text } from '../text/en'
import { NOWHERE, type Place } from './keeping'

export interface Beginning {
  readonly history: History
  readonly place: Place
  readonly held: string // what the book holds at place.revision, as the page writes it
  readonly first: boolean // nothing was ever opened here
}

export async function beginning(drafts: Drafts | null, api: Pick<Api, 'plan'>, text: Text): Promise<Beginning> {
  const draft = await drafts?.load().catch(() => null)
  const other = !draft && drafts?.elsewhere ? await api.plan(drafts.elsewhere).catch(() => null) : null
  if (other) {
    const plan = JSON.parse(other.text) as Plan
    const { id, revision, person, tags } = other
    return { history: begin(plan, text.shell.opened), place: { id, revision, person, tags }, held: planText(plan), first: false }
  }
  if (!draft) return { history: begin(demo as unknown as Plan, text.shell.opened), place: NOWHERE, held: '', first: true }
  const { plan: id, revision, person, tags, kept } = draft
  const place: Place = { id, revision, person, tags }
  const now = draft.history.moments[draft.history.at]?.plan as Plan
  if (id === 0) return { history: draft.history, place, held: '', first: false }
  const there = await api.plan(id).catch(() => null)
  if (!there) return { history: draft.history, place, held: kept ? planText(now) : '', first: false }
  const theirs = JSON.parse(there.text) as Plan
  if (there.revision === revision) return { history: draft.history, place, held: planText(theirs), first: false }
  // Somebody went on with it elsewhere. Where nothing is left to keep here, that is simply the newest; otherwise keeping will meet it.
  if (!kept) return { history: draft.history, place, held: '', first: false }
  return {
    history: record(draft.history, theirs, text.book.tookTheirs),
    place: { ...place, revision: there.revision, tags: there.tags },
    held: planText(theirs),
    first: false,
  }
}
