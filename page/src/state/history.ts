// Every state of a plan since it was opened, without limit, and where in them the hand is. Edits in one go (a drag, a slider) have
// the same `stroke` and become one.
import type { Plan } from './plan'

export interface Moment {
  readonly plan: Plan
  readonly label: string // what was done to come here
  readonly stroke: string // '' for an edit by itself
}

export interface History {
  readonly moments: readonly Moment[]
  readonly at: number
}

export const begin = (plan: Plan, label: string): History => ({ moments: [{ plan, label, stroke: '' }], at: 0 })

export function record(history: History, plan: Plan, label: string, stroke = ''): History {
  const now = history.moments[history.at]
  const goesOn = stroke !== '' && history.at > 0 && now?.stroke === stroke && history.at === history.moments.length - 1
  const kept = history.moments.slice(0, goesOn ? history.at : history.at + 1)
  return { moments: [...kept, { plan, label, stroke }], at: kept.length }
}

// The hand has left what it dragged: the next edit is another.
export function settle(history: History): History {
  const now = history.moments[history.at]
  if (!now || now.stroke === '') return history
  return { ...history, moments: history.moments.map((m, i) => (i === history.at ? { ...m, stroke: '' } : m)) }
}

export const canUndo = (history: History): boolean => history.at > 0
export const canRedo = (history: History): boolean => history.at < history.moments.length - 1
export const undone = (history: History): History => (canUndo(history) ? { ...history, at: history.at - 1 } : history)
export const redone = (history: History): History => (canRedo(history) ? { ...history, at: history.at + 1 } : history)
