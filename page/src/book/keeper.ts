// Keeps the open plan: at once in the browser, and soon after in the book.
import { effect, signal, type ReadonlySignal } from '@preact/signals-core'
import { Problem, type Api, type KeptPlan } from '../server/api'
import type { Drafts } from '../state/drafts'
import type { Moment } from '../state/history'
import { planText, type Plan } from '../state/plan'
import type { Store } from '../state/store'
import type { Beginning } from './beginning'
import { edited, isDue, keepApart, keepOurs, met, NOWHERE, opened, refused, sent, taken, takeTheirs, type Keeping, type Place } from './keeping'

const QUIET = 1500 // milliseconds without an edit, after which the book gets the text
const AGAIN = 10000 // after which a server that could not be reached is asked again

// What may be otherwise the next time, with nothing changed here: nobody there, a new run of the server that has to let this
// browser in first, too slow, too many.
const PASSES: ReadonlySet<number> = new Set([0, 401, 403, 408, 429])

export interface Keeper {
  readonly keeping: ReadonlySignal<Keeping>
  open(plan: KeptPlan, label: string): Promise<void> // a plan of the book
  begin(plan: Plan, label: string, person?: number): Promise<void> // one that is not in it yet; kept once it is edited
  keep(): Promise<void> // now, if there is anything to keep
  keepNow(): Promise<void> // even an example that nobody has changed
  forgotten(plans: readonly number[]): Promise<void> // these are no longer in the book
  tag(tags: readonly string[]): Promise<void>
  decide(what: 'ours' | 'theirs' | 'apart', label: string): Promise<void>
}

const placeOf = (plan: KeptPlan): Place => ({ id: plan.id, revision: plan.revision, person: plan.person, tags: plan.tags })

export function startKeeper(store: Store, api: Api, drafts: Drafts | null, begun: Beginning): Keeper {
  const keeping = signal<Keeping>(opened(begun.place, begun.held, planText(store.plan.peek())))
  let timer: ReturnType<typeof setTimeout> | undefined
  let untouched = begun.place.id === 0 // an example that nobody has changed is not put into the book
  let tagged = false

  function later(milliseconds: number): void {
    clearTimeout(timer)
    timer = setTimeout(() => void keep(), milliseconds)
  }

  async function keep(): Promise<void> {
    clearTimeout(timer)
    const now = keeping.peek()
    if ((!isDue(now) && !tagged) || untouched || now.state.kind === 'keeping' || now.state.kind === 'conflict') return
    const { text, place } = now
    tagged = false
    keeping.value = sent(now)
    try {
      const kept = place.id
        ? await api.keepPlan({ id: place.id, revision: place.revision, tags: place.tags, text })
        : await api.addPlan({ person: place.person, tags: place.tags, text })
      keeping.value = taken(keeping.peek(), text, { ...placeOf(kept), tags: keeping.peek().place.tags })
      if (isDue(keeping.peek())) later(QUIET)
    } catch (reason) {
      failed(reason)
    }
    await draft()
  }

  function failed(reason: unknown): void {
    const problem = reason instanceof Problem ? reason : new Problem(0, String(reason), '')
    if (problem.status === 412 && problem.current) {
      const theirs = problem.current as KeptPlan
      keeping.value = met(keeping.peek(), { ...theirs, text: planText(JSON.parse(theirs.text) as Plan) })
      return
    }
    keeping.value = refused(keeping.peek(), problem.message, problem.remedy)
    if (PASSES.has(problem.status) || problem.status >= 500) later(AGAIN)
  }

  async function draft(): Promise<void> {
    const { place, state } = keeping.peek()
    const { id, ...rest } = place
    await drafts
      ?.save({ ...rest, history: store.history.peek(), plan: id, kept: state.kind === 'kept' })
      .catch((reason: unknown) => {
        keeping.value = refused(keeping.peek(), String(reason), '')
      })
  }

  effect(() => {
    const { moments, at } = store.history.value
    if (moments.length > 1) untouched = false
    keeping.value = edited(keeping.peek(), planText((moments[at] as Moment).plan))
    if (isDue(keeping.peek())) later(QUIET)
    void draft()
  })
  addEventListener('pagehide', () => void keep())

  async function opens(place: Place, heldText: string, plan: Plan, label: string, fresh: boolean): Promise<void> {
    await keep()
    untouched = fresh
    keeping.value = opened(place, heldText, planText(plan))
    store.open(plan, label)
    await draft()
  }

  return {
    keeping,
    // What the book holds may be written otherwise than the page writes it; only what is said counts.
    open: (kept, label) => {
      const plan = JSON.parse(kept.text) as Plan
      return opens(placeOf(kept), planText(plan), plan, label, false)
    },
    begin: (plan, label, person = 0) => opens({ ...NOWHERE, person }, '', plan, label, true),
    keep,
    async keepNow() {
      untouched = false
      await keep()
    },
    async forgotten(plans) {
      if (!plans.includes(keeping.peek().place.id)) return
      untouched = true
      keeping.value = opened({ ...NOWHERE }, '', keeping.peek().text)
      await draft()
    },
    async tag(tags) {
      untouched = false
      tagged = true
      keeping.value = { ...keeping.peek(), place: { ...keeping.peek().place, tags } }
      await keep()
    },
    async decide(what, label) {
      const now = keeping.peek()
      if (now.state.kind !== 'conflict') return
      if (what === 'theirs') {
        const plan = JSON.parse(now.state.theirs.text) as Plan
        keeping.value = { ...takeTheirs(now), held: planText(plan), text: planText(plan) }
        store.change(label, plan)
      } else {
        keeping.value = what === 'ours' ? keepOurs(now) : keepApart(now)
        await keep()
      }
    },
  }
}
