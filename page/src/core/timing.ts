// How long the result takes to follow the hand, from the input event to where the page holds the answer: as user timings (W3C
// User Timing), which the browser's own tools and bench/ read. `detail.core` is what the core took of it.

export interface Timing {
  asked(id: number): void
  answered(what: 'lengths' | 'fall', id: number, core: number): void
}

const INPUTS = ['input', 'change', 'click', 'keydown', 'pointermove', 'pointerdown'] as const
const MANY = 5000 // measures kept: the newest

export function startTiming(to: EventTarget, clock: Performance = performance): Timing {
  let moved = 0
  const began = new Map<number, number>()
  const told = new Set<string>()
  let count = 0
  for (const type of INPUTS) to.addEventListener(type, (event) => (moved = event.timeStamp), { capture: true })
  return {
    asked(id) {
      began.set(id, moved || clock.now())
      for (const old of began.keys()) if (old < id - MANY) began.delete(old)
    },
    answered(what, id, core) {
      const start = began.get(id)
      const key = `${what} ${id}`
      if (start === undefined || told.has(key)) return
      told.add(key)
      if (++count > MANY) {
        clock.clearMeasures('lengths')
        clock.clearMeasures('fall')
        told.clear()
        count = 0
      }
      clock.measure(what, { start, end: clock.now(), detail: { id, core } })
    },
  }
}
