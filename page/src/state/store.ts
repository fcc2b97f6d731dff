// What the page knows. Everything on the screen is drawn from these signals, and whoever changes something changes it here;
// nothing is kept in the screen itself.
import { batch, computed, signal, type ReadonlySignal, type Signal } from '@preact/signals-core'
import type { Bust, Cut, Fall, Fallen, Fault, Held, LineRead, Lines, Measured, Reading, Surface, Vec3, Want, Words } from '../core/messages'
import type { Table } from '../plan/table'
import { begin, canRedo, canUndo, record, redone, settle, undone, type History, type Moment } from './history'
import type { Plan } from './plan'

// What the hand is on. Steps and sections count from 0, as they stand in the plan.
export type Chosen =
  | { readonly kind: 'nothing' }
  | { readonly kind: 'step'; readonly at: number; readonly panel?: number }
  | { readonly kind: 'section'; readonly at: number } // an entry of the plan's `sections`: a parting
  | { readonly kind: 'landmark'; readonly name: string }

export type Side = 'front' | 'back' | 'left' | 'right' | 'above'

// A line drawn on the head, along which lengths are read: the shortest way over the scalp from one place to another, or all the
// way round at the height of a place, or up and over through it. Places need not lie exactly on the scalp.
export type Band =
  | { readonly kind: 'between'; readonly from: Vec3; readonly to: Vec3 }
  | { readonly kind: 'level'; readonly at: Vec3 }
  | { readonly kind: 'upright'; readonly at: Vec3 }

// How the head is shown.
export interface Look {
  readonly side: Side | 'free' // free: wherever it was turned to
  readonly hair: 'held' | 'cut' | 'fallen' | 'off' // held out as it was cut, standing out at its length, at rest, none
  readonly lengths: boolean // coloured by length, with a scale
  readonly landmarks: boolean
  readonly sections: boolean
  readonly weight: boolean // the weight line, on fallen hair
}

// Where the playing cut is: step and panel count from 0, `share` goes from 0 to 1 over parted, combed out, held, cut, dropped.
export interface Playing {
  readonly step: number
  readonly panel: number
  readonly share: number
}

export interface Store {
  readonly history: Signal<History>
  readonly plan: ReadonlySignal<Plan>
  readonly chosen: Signal<Chosen>
  readonly look: Signal<Look>
  readonly playing: Signal<Playing | null>
  readonly band: Signal<Band | null> // what was drawn on the head last, to be read
  readonly drawing: Signal<boolean> // whether the hand on the head draws a band
  readonly table: Signal<Table | null> // what a plan may say; null until the core has told
  readonly words: Signal<Words | null> // the newest plan that could be read, in sentences
  readonly reading: Signal<Reading | null> // what the newest cut that was read reads as; follows once the hand rests
  readonly line: Signal<LineRead | null> // lengths along the band
  readonly fallen: Signal<Fallen | null> // the shape of the newest hair that came to rest
  readonly cut: Signal<Cut | null> // the newest that was worked out; stays while a plan is refused
  readonly fall: Signal<Fall | null>
  readonly want: Signal<Want> // what else of it is to be shown; whoever shows it says so
  readonly bust: Signal<Bust | null>
  readonly finer: Signal<Surface | null> // of the same bust or of the one before, to be looked at alone
  readonly measured: Signal<Measured | null>
  readonly tape: Signal<string> // the measure whose tape is shown on the head; '' none
  readonly held: Signal<Held | null>
  readonly lines: Signal<Lines | null> // between sections
  readonly panelLines: Signal<Lines | null> // between panels of the step that is wanted
  readonly uncut: Signal<Fall | null> // hair as it lies before the cut
  readonly fault: Signal<Fault | null> // why the plan as it is now was refused
  readonly canUndo: ReadonlySignal<boolean>
  readonly canRedo: ReadonlySignal<boolean>
  // One edit that can be undone. Edits of the same stroke, until `settle`, are one.
  change(label: string, plan: Plan, stroke?: string): void
  settle(): void
  undo(): void
  redo(): void
  open(plan: Plan, label: string): void // another plan, with a history of its own
}

export function createStore(begun: History): Store {
  const history = signal(begun)
  const chosen = signal<Chosen>({ kind: 'nothing' })
  const band = signal<Band | null>(null)
  const drawing = signal(false)
  const playing = signal<Playing | null>(null)
  const cut = signal<Cut | null>(null)
  const fall = signal<Fall | null>(null)
  const fault = signal<Fault | null>(null)
  return {
    history,
    plan: computed(() => (history.value.moments[history.value.at] as Moment).plan),
    chosen,
    look: signal<Look>({ side: 'free', hair: 'fallen', lengths: false, landmarks: false, sections: false, weight: false }),
    playing,
    band,
    drawing,
    table: signal<Table | null>(null),
    words: signal<Words | null>(null),
    reading: signal<Reading | null>(null),
    line: signal<LineRead | null>(null),
    fallen: signal<Fallen | null>(null),
    cut,
    fall,
    want: signal<Want>({ kind: 'want', held: 'none', step: 0, uncut: false }),
    bust: signal<Bust | null>(null),
    finer: signal<Surface | null>(null),
    measured: signal<Measured | null>(null),
    tape: signal(''),
    held: signal<Held | null>(null),
    lines: signal<Lines | null>(null),
    panelLines: signal<Lines | null>(null),
    uncut: signal<Fall | null>(null),
    fault,
    canUndo: computed(() => canUndo(history.value)),
    canRedo: computed(() => canRedo(history.value)),
    change: (what, next, stroke) => void (history.value = record(history.peek(), next, what, stroke)),
    settle: () => void (history.value = settle(history.peek())),
    undo: () => void (history.value = undone(history.peek())),
    redo: () => void (history.value = redone(history.peek())),
    open: (next, what) =>
      batch(() => {
        history.value = begin(next, what)
        chosen.value = { kind: 'nothing' }
        playing.value = null
        band.value = null
        drawing.value = false
        fault.value = null
      }),
  }
}
