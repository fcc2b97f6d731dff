// What the book's room shows: what was searched for, what was found, and what lies open. No screen here.
import { batch, signal, type Signal } from '@preact/signals-core'
import { Problem, type Api, type Entry, type Forgotten, type KeptPlan, type Note, type Person, type Revision } from '../server/api'

export type Kind = Entry['kind'] | 'all'

export interface PersonPage {
  readonly kind: 'person'
  readonly person: Person
  readonly plans: readonly Entry[]
  readonly notes: readonly Note[]
  readonly leaving: Forgotten | null // what removing would take along, once that was asked
}

export interface PlanPage {
  readonly kind: 'plan'
  readonly plan: KeptPlan
  readonly who: string
  readonly revisions: readonly Revision[]
  readonly notes: readonly Note[]
  readonly leaving: boolean
}

export interface Trouble {
  readonly text: string
  readonly remedy: string
}

export interface Shelf {
  readonly words: Signal<string>
  readonly kind: Signal<Kind>
  readonly tag: Signal<string>
  readonly found: Signal<{ readonly all: number; readonly entries: readonly Entry[] }>
  readonly page: Signal<PersonPage | PlanPage | null>
  readonly trouble: Signal<Trouble | null>
  readonly said: Signal<string> // what was just done
  look(): Promise<void>
  openPerson(id: number): Promise<void>
  openPlan(id: number): Promise<void>
  // Does something with the book; whatever goes wrong becomes `trouble`.
  attempt<T>(work: () => Promise<T>, said?: (outcome: T) => string): Promise<T | undefined>
}

export const tagsOf = (text: string): string[] => [...new Set(text.split(',').map((tag) => tag.trim()).filter(Boolean))].sort()

const MOST = 200

export function makeShelf(api: Api, unreachable: Trouble): Shelf {
  const words = signal('')
  const kind = signal<Kind>('all')
  const tag = signal('')
  const found = signal<{ all: number; entries: readonly Entry[] }>({ all: 0, entries: [] })
  const page = signal<PersonPage | PlanPage | null>(null)
  const trouble = signal<Trouble | null>(null)
  const said = signal('')
  let asked = 0

  async function reading<T>(work: () => Promise<T>): Promise<T | undefined> {
    try {
      return await work()
    } catch (reason) {
      const problem = reason instanceof Problem ? reason : new Problem(-1, String(reason), '')
      trouble.value = problem.status === 0 ? unreachable : { text: problem.message, remedy: problem.remedy }
      return undefined
    }
  }

  async function attempt<T>(work: () => Promise<T>, tell?: (outcome: T) => string): Promise<T | undefined> {
    batch(() => {
      trouble.value = null
      said.value = ''
    })
    const outcome = await reading(work)
    if (outcome !== undefined && tell) said.value = tell(outcome)
    return outcome
  }

  async function look(): Promise<void> {
    const mine = ++asked
    await reading(async () => {
      const answer = await api.find({
        words: words.peek(),
        tag: tag.peek(),
        most: MOST,
        ...(kind.peek() === 'all' ? {} : { kind: kind.peek() as Entry['kind'] }),
      })
      if (mine === asked) found.value = answer
    })
  }

  return {
    words,
    kind,
    tag,
    found,
    page,
    trouble,
    said,
    look,
    attempt,
    async openPerson(id) {
      await reading(async () => {
        const [person, theirs, { notes }] = await Promise.all([
          api.person(id),
          api.find({ person: id, kind: 'plan', most: MOST }),
          api.notes('people', id),
        ])
        page.value = { kind: 'person', person, plans: theirs.entries, notes, leaving: null }
      })
    },
    async openPlan(id) {
      await reading(async () => {
        const [plan, { revisions }, { notes }] = await Promise.all([api.plan(id), api.revisions(id), api.notes('plans', id)])
        const who = plan.person ? (await api.person(plan.person)).name : ''
        page.value = { kind: 'plan', plan, who, revisions, notes, leaving: false }
      })
    },
  }
}
