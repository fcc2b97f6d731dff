// What the page keeps by itself, in the browser: the plan that is open with its whole history, so that nothing is lost when the
// page is closed, reloaded, or the server is gone. One record a moment, so that an edit writes little.
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
}

const HEAD = 'head'

function done<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error)
  })
}

export interface Drafts {
  load(): Promise<Draft | null>
  save(draft: Draft): Promise<void>
}

export async function openDrafts(factory: IDBFactory, name = 'lengthwise'): Promise<Drafts> {
  const opening = factory.open(name, 1)
  opening.onupgradeneeded = () => {
    opening.result.createObjectStore('head')
    opening.result.createObjectStore('moments')
  }
  const db = await done(opening)
  let written: readonly Moment[] = []
  return {
    async load() {
      const from = db.transaction(['head', 'moments'])
      const head = (await done(from.objectStore('head').get(HEAD))) as Head | undefined
      if (!head) return null
      const moments = (await done(from.objectStore('moments').getAll(IDBKeyRange.bound(0, head.count - 1)))) as Moment[]
      if (moments.length !== head.count || !moments[head.at]) return null
      written = moments
      const { count: _, at, ...rest } = head
      return { ...rest, history: { moments, at } }
    },
    async save(draft) {
      const { moments, at } = draft.history
      const to = db.transaction(['head', 'moments'], 'readwrite')
      const finished = new Promise<void>((resolve, reject) => {
        to.oncomplete = () => resolve()
        to.onabort = () => reject(to.error)
      })
      const store = to.objectStore('moments')
      moments.forEach((moment, i) => {
        if (written[i] !== moment) store.put(moment, i)
      })
      if (written.length > moments.length) store.delete(IDBKeyRange.lowerBound(moments.length))
      const { history: _, ...rest } = draft
      to.objectStore('head').put({ ...rest, count: moments.length, at } satisfies Head, HEAD)
      await finished
      written = moments
    },
  }
}
