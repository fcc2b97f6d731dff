// The cut as a row of moments: every panel in its turn, and in each the five things a hand does. Pure.
import type { Cut } from '../core/messages'
import type { Playing } from '../state/store'

export const PHASES = ['parted', 'combed', 'held', 'cut', 'dropped'] as const
export type Phase = (typeof PHASES)[number]

const ENDS: readonly number[] = [0.14, 0.36, 0.58, 0.74, 1] // of a panel's share, where each phase ends

export interface Moment {
  readonly phase: Phase
  readonly at: number // how far that phase is, 0 to 1
}

export function momentOf(share: number): Moment {
  const i = Math.max(0, ENDS.findIndex((end) => share < end))
  const n = share >= 1 ? PHASES.length - 1 : i
  const from = n ? (ENDS[n - 1] ?? 0) : 0
  return { phase: PHASES[n] as Phase, at: Math.min(1, Math.max(0, (share - from) / ((ENDS[n] ?? 1) - from))) }
}

// Where a phase begins; the middle of its time is where it is shown without motion.
export const middleOf = (phase: number): number => ((phase ? (ENDS[phase - 1] ?? 0) : 0) + (ENDS[phase] ?? 1)) / 2

// The panel that is played, by its index among the cut's; panels that cut nothing are passed over.
export function turns(cut: Cut): number[] {
  const all = cut.panels.map((_, i) => i)
  const cutting = all.filter((i) => (cut.panels[i]?.cut ?? 0) > 0)
  return cutting.length ? cutting : all
}

// Which turn a moment of the store is in: its own, or the next that there is.
export function turnOf(cut: Cut, order: readonly number[], playing: Playing): number {
  const exact = order.findIndex((i) => cut.panels[i]?.step === playing.step + 1 && cut.panels[i]?.panel === playing.panel + 1)
  if (exact >= 0) return exact
  const later = order.findIndex((i) => (cut.panels[i]?.step ?? 0) > playing.step + 1 || ((cut.panels[i]?.step ?? 0) === playing.step + 1 && (cut.panels[i]?.panel ?? 0) > playing.panel + 1))
  return later >= 0 ? later : Math.max(0, order.length - 1)
}

export function playingAt(cut: Cut, order: readonly number[], turn: number, share: number): Playing | null {
  const panel = cut.panels[order[Math.max(0, Math.min(order.length - 1, turn))] ?? -1]
  return panel ? { step: panel.step - 1, panel: panel.panel - 1, share } : null
}

// Time goes on: the next turn and share, and whether the end is reached.
export function advanced(turn: number, share: number, by: number, count: number, loop: boolean): { turn: number; share: number; ended: boolean } {
  const at = turn + share + by
  if (at < count) return { turn: Math.floor(at), share: at - Math.floor(at), ended: false }
  if (loop) return { turn: 0, share: 0, ended: false }
  return { turn: count - 1, share: 1, ended: true }
}
