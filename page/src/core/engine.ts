// The page's side of the workers. While the hand moves, answers to an ask that is no longer the newest are still newer than
// what is shown, so they are handed on; only what would take the picture back is dropped.
import type { Table } from '../plan/table'
import type { Band } from '../state/store'
import type { Answer, Ask, Beside, Bust, Cut, Fall, Fallen, Fault, Held, Let, LineRead, Measured, More, Read, Reading, ReadLine, Surface, Told, Want, Watch, Words } from './messages'

export interface Heard {
  table(table: Table): void
  words(words: Words): void
  reading(reading: Reading): void
  line(line: LineRead | null): void
  fallen(fallen: Fallen): void
  cut(cut: Cut, held: Held | null): void
  beside(beside: Beside): void // more of the newest cut
  fall(fall: Fall): void
  refused(fault: Fault): void
  broken(text: string): void
  bust(bust: Bust): void
  finer(surface: Surface): void // of the same bust
  measured(measured: Measured): void
  uncut(fall: Fall): void
}

export interface Engine {
  // Follows the plan from now on; whatever was asked before no longer matters. Returns the id its answers carry.
  follow(plan: string, hairs: number, fall: boolean): number
  want(want: Want): void // what else is to be shown, from now on
  readLine(band: Band | null): void // lengths along it are told, of this plan and of those that follow
  stop(): void
}

const REST = 200 // milliseconds without a new cut, after which it is read
const LONG = 1500 // milliseconds after which hair is to fall even while the hand goes on
const SOON = 250 // milliseconds after an ask, within which the next is of a hand that goes on
const STILL = 100 // milliseconds without a new ask, after which it no longer does
const BEHIND = 300 // milliseconds by which what goes with the lengths may follow them meanwhile

export function startEngine(heard: Heard): Engine {
  let newest = 0
  let falls = false // whether the newest ask's hair is to fall, once it is cut: so the two are not in each other's way
  let shown = 0 // the ask that the last cut answered
  let head = 0 // whose cut it was
  const reader = new Worker(new URL('./reader.ts', import.meta.url), { type: 'module' })
  let resting: ReturnType<typeof setTimeout> | undefined
  reader.onmessage = ({ data }: MessageEvent<Told>) => {
    if (data.kind === 'line') heard.line(data.line)
    else if (data.kind === 'reading') {
      if (data.id >= shown) heard.reading(data.reading)
    } else if (data.surface.head === head) heard.finer(data.surface)
  }
  // Readings wait until the hand rests and hair falls: they take longer than a cut, and have a worker of their own.
  let unread: Cut | null = null
  let rests = false
  let fell = 0 // the ask whose hair fell last
  let fellAt = 0 // when
  const read = (): void => {
    if (!unread || !rests || (falls && fell < unread.id)) return
    const { id, plan, hairs, head } = unread
    reader.postMessage({ kind: 'read', id, plan, hairs, head } satisfies Read)
    unread = null
  }
  const readLater = (cut: Cut): void => {
    clearTimeout(resting)
    unread = cut
    rests = false
    resting = setTimeout(() => {
      rests = true
      read()
    }, REST)
  }
  // While the hand goes on, the next lengths shall find the processor free: hair falls, and what goes with the lengths is made,
  // when it stops for a moment, or now and then.
  let askedAt = -Infinity
  let goesOn = false
  let moreAt = -Infinity
  let stopped: ReturnType<typeof setTimeout> | undefined
  const follows = (ask: Let, still: boolean): void => {
    const now = performance.now()
    if (still || now - moreAt > BEHIND) {
      moreAt = now
      cutter.postMessage({ kind: 'more' } satisfies More)
    }
    if (falls && (still || ask.long)) faller.postMessage(ask)
  }
  const cutter = new Worker(new URL('./cutter.ts', import.meta.url), { type: 'module' })
  const faller = new Worker(new URL('./faller.ts', import.meta.url), { type: 'module' })
  cutter.onmessage = ({ data }: MessageEvent<Answer>) => {
    if (data.kind === 'broken') heard.broken(data.text)
    else if (data.kind === 'table') heard.table(data.table)
    else if (data.kind === 'words') heard.words(data.words)
    else if (data.kind === 'cut') {
      shown = data.cut.id
      head = data.cut.head
      const { id, plan, hairs, lengths } = data.cut
      const long = performance.now() - fellAt > LONG
      const ask: Let = { kind: 'let', id, plan, hairs, lengths, long }
      heard.cut(data.cut, data.held)
      clearTimeout(stopped)
      const still = id === newest && !goesOn
      follows(ask, still) // not before: the screen shall not share the processor with it
      if (!still) stopped = setTimeout(() => id === newest && follows({ ...ask, long: false }, true), STILL)
      readLater(data.cut)
    } else if (data.kind === 'bust') heard.bust(data.bust)
    else if (data.kind === 'measured') heard.measured(data.measured)
    else if (data.kind === 'beside') heard.beside(data.beside)
    else if (data.kind === 'refused' && data.fault.id === newest) heard.refused(data.fault)
  }
  faller.onmessage = ({ data }: MessageEvent<Answer>) => {
    if (data.kind === 'fall') {
      fell = data.fall.id
      fellAt = performance.now()
      heard.fall(data.fall)
      read()
    } else if (data.kind === 'fallen') {
      if (data.id === shown) heard.fallen(data.fallen)
    }
    else if (data.kind === 'uncut') heard.uncut(data.fall)
    else if (data.kind === 'refused' && data.fault.id === newest) heard.refused(data.fault)
  }
  // Memory that workers share is there where the page stands apart from all other origins, which the server sees to.
  const number = self.crossOriginIsolated ? new Int32Array(new SharedArrayBuffer(4)) : null
  if (number) faller.postMessage({ kind: 'watch', asked: number } satisfies Watch)
  for (const worker of [cutter, faller, reader]) worker.onerror = (event) => heard.broken(event.message)
  return {
    follow(plan, hairs, fall) {
      const ask: Ask = { kind: 'follow', id: ++newest, plan, hairs }
      falls = fall
      const now = performance.now()
      goesOn = now - askedAt < SOON
      askedAt = now
      if (number) Atomics.store(number, 0, ask.id)
      cutter.postMessage(ask)
      faller.postMessage(ask) // leaves the rest of older work undone
      return newest
    },
    want(want) {
      for (const worker of [cutter, faller]) worker.postMessage(want)
    },
    readLine: (band) => reader.postMessage({ kind: 'line', band } satisfies ReadLine),
    stop() {
      clearTimeout(resting)
      clearTimeout(stopped)
      for (const worker of [cutter, faller, reader]) worker.terminate()
    },
  }
}
