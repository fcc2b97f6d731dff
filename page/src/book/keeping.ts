// Keeping the plan in the book while it is edited: a pure machine of what is where, and what to do next. Two pages may edit
// one plan; whoever comes second is told and decides, and nothing is overwritten.

// A plan's place in the book.
export interface Place {
  readonly id: number // 0: not in the book yet
  readonly revision: number // that this page's text goes on from
  readonly person: number
  readonly tags: readonly string[]
}

export const NOWHERE: Place = { id: 0, revision: 0, person: 0, tags: [] }

export interface Theirs {
  readonly text: string
  readonly revision: number
  readonly made: string
}

export type State =
  | { readonly kind: 'kept' } // the book holds what the screen shows
  | { readonly kind: 'changed' } // not yet
  | { readonly kind: 'keeping' } // on its way
  | { readonly kind: 'conflict'; readonly theirs: Theirs } // the book holds another's newer text
  | { readonly kind: 'apart'; readonly why: string; readonly remedy: string } // the server cannot be reached, or refuses

export interface Keeping {
  readonly place: Place
  readonly held: string // the text that the book holds at place.revision; '' none
  readonly text: string // the text on the screen
  readonly state: State
}

export const opened = (place: Place, held: string, text: string): Keeping => ({
  place,
  held,
  text,
  state: held === text ? { kind: 'kept' } : { kind: 'changed' },
})

// The screen shows another text. A conflict stays until somebody decides.
export function edited(now: Keeping, text: string): Keeping {
  if (text === now.text) return now
  const next = { ...now, text }
  if (now.state.kind === 'conflict') return next
  if (now.state.kind === 'keeping') return next
  return { ...next, state: text === now.held ? { kind: 'kept' } : { kind: 'changed' } }
}

export const isDue = (now: Keeping): boolean => now.state.kind === 'changed' || (now.state.kind === 'apart' && now.text !== now.held)

export const sent = (now: Keeping): Keeping => ({ ...now, state: { kind: 'keeping' } })

// The book took `text`, which need not be what the screen shows by now.
export function taken(now: Keeping, text: string, place: Place): Keeping {
  return { ...now, place, held: text, state: now.text === text ? { kind: 'kept' } : { kind: 'changed' } }
}

export const refused = (now: Keeping, why: string, remedy: string): Keeping => ({ ...now, state: { kind: 'apart', why, remedy } })

export const met = (now: Keeping, theirs: Theirs): Keeping =>
  theirs.text === now.text
    ? { ...now, place: { ...now.place, revision: theirs.revision }, held: theirs.text, state: { kind: 'kept' } }
    : { ...now, state: { kind: 'conflict', theirs } }

// What can be decided in a conflict. Ours goes on top of theirs, which stays in the history of the plan; theirs is taken and ours
// stays in the page's own history; or ours becomes a plan of its own.
export function keepOurs(now: Keeping): Keeping {
  if (now.state.kind !== 'conflict') return now
  const { theirs } = now.state
  return { ...now, place: { ...now.place, revision: theirs.revision }, held: theirs.text, state: { kind: 'changed' } }
}

export function takeTheirs(now: Keeping): Keeping {
  if (now.state.kind !== 'conflict') return now
  const { theirs } = now.state
  return { place: { ...now.place, revision: theirs.revision }, held: theirs.text, text: theirs.text, state: { kind: 'kept' } }
}

export const keepApart = (now: Keeping): Keeping =>
  now.state.kind === 'conflict' ? { ...now, place: { ...now.place, id: 0, revision: 0 }, held: '', state: { kind: 'changed' } } : now
