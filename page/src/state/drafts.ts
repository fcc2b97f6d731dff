// What the page keeps by itself, in the browser: the plan that is open with its whole history, so that nothing is lost when the
// page is closed, reloaded, or the server is gone. Every open page has a draft of its own, held by a lock while it is open; a
// page that opens takes up its own again, or the newest that no other page has open. One record a moment, so that an edit
// writes little.
import type { History, Moment } from './history'

export interface Draft {
  readonly history: History
  readonly plan: number // id in the book, 0 not kept there
  readonly person: number
  readonly revision: number // of the book that it goes on from
  readonly tags: readonly string[]
  readonly kept: boolean // whether the book holds what the history shows
}

interface Head extends Omit<Draft, 'history'> {
  readonly count: number
  readonly at: number
  readonly saved: number // milliseconds since 1970
}

export interface Drafts {
  load(): Promise<Draft | null>
  save(draft: Draft): Promise<void>
  readonly elsewhere: number // the plan of the newest draft that another page has open; 0 none
}

const KEY = 'lengthwise.page'
const MOST = 20 // drafts that are kept
const PATIENCE = 2000 // milliseconds in which the page that was here before, on a reload, has gone

function done<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error)
  })
}

function finished(transaction: IDBTransaction): Promise<void> {
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve()
    transaction.onabort = () => reject(transaction.error)
  })
}

async function open(factory: IDBFactory): Promise<IDBDatabase> {
  const opening = factory.open('lengthwise', 2)
  opening.onupgradeneeded = () => {
    const db = opening.result
    for (const old of [...db.objectStoreNames]) db.deleteObjectStore(old)
    db.createObjectStore('heads') // by page
    db.createObjectStore('moments') // by page and number
  }
  return done(opening)
}

// Holds a page's draft until this page goes; false where another page has it.
function hold(locks: LockManager, page: string, patience: number): Promise<boolean> {
  return new Promise((resolve) => {
    const how: LockOptions = patience > 0 ? { signal: AbortSignal.timeout(patience) } : { ifAvailable: true }
    locks
      .request(`${KEY}.${page}`, how, (lock) => {
        resolve(lock !== null)
        return lock ? new Promise<void>(() => undefined) : undefined
      })
      .catch(() => resolve(false))
  })
}

export async function openDrafts(factory: IDBFactory, locks: LockManager, session: Storage): Promise<Drafts> {
  const db = await open(factory)
  const reading = db.transaction('heads').objectStore('heads')
  const [pages, heads] = await Promise.all([done(reading.getAllKeys()) as Promise<string[]>, done(reading.getAll()) as Promise<Head[]>])
  const newest = pages.map((page, i) => ({ page, head: heads[i] as Head })).sort((a, b) => b.head.saved - a.head.saved)

  const own = session.getItem(KEY)
  let mine = own !== null && (await hold(locks, own, PATIENCE)) ? own : ''
  let elsewhere = 0
  if (own === null)
    for (const { page, head } of newest) {
      if (await hold(locks, page, 0)) {
        mine = page
        break
      }
      elsewhere ||= head.plan
    }
  if (mine === '') {
    mine = crypto.randomUUID()
    await hold(locks, mine, 0)
  }
  session.setItem(KEY, mine)

  const all = (page: string): IDBKeyRange => IDBKeyRange.bound([page], [page, []])
  const forgetting = db.transaction(['heads', 'moments'], 'readwrite')
  for (const { page } of newest.slice(MOST).filter((old) => old.page !== mine)) {
    forgetting.objectStore('heads').delete(page)
    forgetting.objectStore('moments').delete(all(page))
  }

  let written: readonly Moment[] = []
  return {
    elsewhere,
    async load() {
      const from = db.transaction(['heads', 'moments'])
      const head = (await done(from.objectStore('heads').get(mine))) as Head | undefined
      if (!head) return null
      const moments = (await done(from.objectStore('moments').getAll(all(mine)))) as Moment[]
      if (moments.length !== head.count || !moments[head.at]) return null
      written = moments
      const { count: _, saved: __, at, ...rest } = head
      return { ...rest, history: { moments, at } }
    },
    async save(draft) {
      const { moments, at } = draft.history
      const to = db.transaction(['heads', 'moments'], 'readwrite')
      const store = to.objectStore('moments')
      moments.forEach((moment, i) => {
        if (written[i] !== moment) store.put(moment, [mine, i])
      })
      if (written.length > moments.length) store.delete(IDBKeyRange.bound([mine, moments.length], [mine, []]))
      const { history: _, ...rest } = draft
      to.objectStore('heads').put({ ...rest, count: moments.length, at, saved: Date.now() } satisfies Head, mine)
      await finished(to)
      written = moments
    },
  }
}
