// The head's measures and their tapes, copied out of the core's memory.
import type { Measured } from './messages'
import type { Module } from './module'

export function measuredOf({ api, page, look, text }: Module, head: number): Measured {
  return {
    head,
    measures: Array.from({ length: api.page_measure_count() }, (_, i) => ({
      name: text(api.page_measure_name(i)),
      length: api.page_measure(page, i),
      tape: new Float32Array(look(Float64Array, api.page_tape_at(page), 3 * api.page_tape(page, i))),
    })),
  }
}
