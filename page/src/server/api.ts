// What the server keeps and prints. The only module that knows its addresses.

export interface Entry {
  readonly kind: 'person' | 'plan' | 'note'
  readonly id: number
  readonly person: number
  readonly plan: number
  readonly revision: number
  readonly name: string
  readonly who: string
  readonly tags: readonly string[]
  readonly changed: string
  readonly excerpt: string
}

export interface Person {
  readonly id: number
  readonly revision: number
  readonly name: string
  readonly tags: readonly string[]
  readonly measures: { readonly [key: string]: unknown } | null
  readonly made: string
  readonly changed: string
}

export interface KeptPlan {
  readonly id: number
  readonly person: number // 0: nobody's
  readonly revision: number
  readonly title: string
  readonly tags: readonly string[]
  readonly text: string
  readonly made: string
}

export interface Revision {
  readonly revision: number
  readonly made: string
  readonly title: string
  readonly tags: readonly string[]
  readonly size: number
}

export interface Note {
  readonly id: number
  readonly made: string
  readonly text: string
}

export interface Forgotten {
  readonly people: number
  readonly measures: number
  readonly plans: number
  readonly revisions: number
  readonly notes: number
  readonly named: number
}

export interface Query {
  readonly words?: string
  readonly kind?: Entry['kind']
  readonly tag?: string
  readonly person?: number
  readonly skip?: number
  readonly most?: number
}

export type Paper = 'a4' | 'letter'
export type Sheet = 'sheet' | 'worksheet' | 'key'

// Why the server would not: a problem as RFC 9457 has it. `status` 0 means that it could not be reached.
export class Problem extends Error {
  readonly status: number
  readonly remedy: string
  readonly current: unknown // on a conflict: what the book holds
  constructor(status: number, text: string, remedy: string, current?: unknown) {
    super(text)
    this.status = status
    this.remedy = remedy
    this.current = current
  }
}

async function problemOf(response: Response): Promise<Problem> {
  const told: Record<string, unknown> = await response.json().catch(() => ({}))
  const text = [told['place'], told['detail'] ?? told['title']].filter((part) => typeof part === 'string' && part !== '').join(': ')
  return new Problem(response.status, text || response.statusText, String(told['remedy'] ?? ''), told['current'])
}

const root = '/api/v1'

async function ask(method: string, path: string, body?: unknown, revision?: number): Promise<Response> {
  const headers: Record<string, string> = {}
  if (body !== undefined) headers['Content-Type'] = 'application/json'
  if (revision !== undefined) headers['If-Match'] = `"${revision}"`
  let response: Response
  try {
    response = await fetch(root + path, {
      method,
      headers,
      ...(body === undefined ? {} : { body: typeof body === 'string' ? body : JSON.stringify(body) }),
    })
  } catch (reason) {
    throw new Problem(0, String(reason), '')
  }
  if (!response.ok) throw await problemOf(response)
  return response
}

async function told<T>(method: string, path: string, body?: unknown, revision?: number): Promise<T> {
  return (await ask(method, path, body, revision)).json() as Promise<T>
}

function search(query: Query): string {
  const pairs = Object.entries(query).filter(([, value]) => value !== undefined && value !== '')
  return new URLSearchParams(pairs.map(([key, value]): [string, string] => [key, String(value)])).toString()
}

export const api = {
  about: () => told<{ version: string }>('GET', '/about'),
  find: (query: Query) => told<{ all: number; entries: Entry[] }>('GET', `/find?${search(query)}`),

  addPerson: (person: Pick<Person, 'name' | 'tags' | 'measures'>) => told<Person>('POST', '/people', person),
  person: (id: number) => told<Person>('GET', `/people/${id}`),
  keepPerson: (person: Person) =>
    told<Person>('PUT', `/people/${person.id}`, { name: person.name, tags: person.tags, measures: person.measures }, person.revision),
  held: (id: number) => told<Forgotten>('GET', `/people/${id}/holds`),
  forgetPerson: (id: number, revision: number) => told<Forgotten>('DELETE', `/people/${id}`, undefined, revision),

  addPlan: (plan: Pick<KeptPlan, 'person' | 'tags' | 'text'>) => told<KeptPlan>('POST', '/plans', plan),
  plan: (id: number) => told<KeptPlan>('GET', `/plans/${id}`),
  keepPlan: (plan: Pick<KeptPlan, 'id' | 'revision' | 'tags' | 'text'>) =>
    told<KeptPlan>('PUT', `/plans/${plan.id}`, { tags: plan.tags, text: plan.text }, plan.revision),
  forgetPlan: (id: number, revision: number) => told<Forgotten>('DELETE', `/plans/${id}`, undefined, revision),
  revisions: (id: number) => told<{ revisions: Revision[] }>('GET', `/plans/${id}/revisions`),
  revision: (id: number, revision: number) => told<KeptPlan>('GET', `/plans/${id}/revisions/${revision}`),

  notes: (of: 'people' | 'plans', id: number) => told<{ notes: Note[] }>('GET', `/${of}/${id}/notes`),
  addNote: (of: 'people' | 'plans', id: number, text: string) => told<Note>('POST', `/${of}/${id}/notes`, { text }),
  forgetNote: (id: number) => told<Forgotten>('DELETE', `/notes/${id}`),

  planFor: (plan: string, measures: Person['measures'], name: string) => told<{ text: string }>('POST', '/measures/into', { plan, measures, name }),
  measuresOf: (plan: string) => told<{ measures: Person['measures'] }>('POST', '/measures/of', { plan }),

  sheet: async (plan: string, paper: Paper, kind: Sheet) => (await ask('POST', `/sheet?paper=${paper}&kind=${kind}`, plan)).blob(),
  exportBook: async () => (await ask('GET', '/book/export')).blob(),
  backup: async () => (await ask('GET', '/book/backup')).blob(),
  importBook: (text: string) => told<unknown>('POST', '/book/import', text),
}

export type Api = typeof api
