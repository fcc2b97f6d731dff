// A prediction and a fall, copied out of the core's memory.
import type { Cut, Fall, Fallen, Fault, Landmark, Panel, Vec3, Words } from './messages'
import type { Table } from '../plan/table'
import type { Module } from './module'
import { placesOf } from './shown'

// Columns of a panel's row: page_panel_column in src/wasm/page.h.
const STEP = 0
const PANEL = 1
const ANCHOR = 2
const NORMAL = 5
const PLACE = 8
const DIRECTION = 11
const PARTING = 14
const FINGER = 17
const FOLLOWS = 20
const LINE_FIRST = 21
const LINE_COUNT = 22

// And of the row that goes with it: page_hold_column.
const PLACE_NORMAL = 0
const ELEVATION = 3
const CARRY = 4
const FACTOR = 5
const SECTION = 6
const HAIRS = 7
const CUT = 8
const LINE_LENGTH = 9
const GUIDE = 10
const WHOLE = 11
const BITE = 12
const BITES = 13

function panelsOf({ api, page, look }: Module): Panel[] {
  const count = api.page_panel_count(page)
  const columns = api.page_panel_columns()
  const more = api.page_holds(page) // before anything is looked at: memory may move
  if (!more) throw new Error('not enough memory')
  const holds = look(Float64Array, more, count * api.page_hold_columns())
  const rows = look(Float64Array, api.page_panels(page), count * columns)
  return Array.from({ length: count }, (_, i) => {
    const number = (column: number): number => rows[i * columns + column] ?? NaN
    const vector = (column: number): Vec3 => [number(column), number(column + 1), number(column + 2)]
    const hold = (column: number): number => holds[i * api.page_hold_columns() + column] ?? NaN
    const points = number(LINE_COUNT)
    return {
      step: number(STEP),
      panel: number(PANEL),
      anchor: vector(ANCHOR),
      normal: vector(NORMAL),
      place: vector(PLACE),
      direction: vector(DIRECTION),
      parting: vector(PARTING),
      finger: vector(FINGER),
      follows: number(FOLLOWS) !== 0,
      line: points > 0 ? look(Float64Array, api.page_lines(page) + 16 * number(LINE_FIRST), 2 * points).slice() : new Float64Array(0),
      placeNormal: [hold(PLACE_NORMAL), hold(PLACE_NORMAL + 1), hold(PLACE_NORMAL + 2)],
      elevation: hold(ELEVATION),
      carry: hold(CARRY),
      factor: hold(FACTOR),
      section: hold(SECTION),
      hairs: hold(HAIRS),
      cut: hold(CUT),
      lineLength: hold(LINE_LENGTH),
      guide: hold(GUIDE),
      whole: hold(WHOLE),
      bite: hold(BITE),
      bites: hold(BITES),
    }
  })
}

function landmarksOf({ api, page, look, text }: Module): Landmark[] {
  const count = api.page_landmark_count()
  const rows = look(Float64Array, api.page_landmarks(page), 4 * count)
  return Array.from({ length: count }, (_, i) => ({
    name: text(api.page_landmark_name(i)),
    at: [rows[4 * i] ?? NaN, rows[4 * i + 1] ?? NaN, rows[4 * i + 2] ?? NaN],
    length: rows[4 * i + 3] ?? NaN,
  }))
}

export function cutOf(module: Module, id: number, plan: string, took: number): Cut {
  const panels = panelsOf(module)
  const places = placesOf(module)
  const { api, page, look, text } = module
  const hairs = api.page_hairs(page)
  const floats = (address: number, count: number) => new Float32Array(look(Float64Array, address, count))
  return {
    id,
    plan,
    hairs,
    roots: floats(api.page_roots(page), 3 * hairs),
    normals: floats(api.page_normals(page), 3 * hairs),
    lengths: floats(api.page_lengths(page), hairs),
    before: floats(api.page_before(page), hairs),
    sections: look(Int16Array, api.page_sections(page), hairs).slice(),
    setBy: look(Int32Array, api.page_set_by(page), hairs).slice(),
    sectionNames: Array.from({ length: api.page_section_count(page) }, (_, i) => text(api.page_section_name(page, i))),
    panels,
    landmarks: landmarksOf(module),
    places,
    head: api.page_head_number(page),
    took,
  }
}

export const tableOf = ({ api, page, text }: Module): Table => JSON.parse(text(api.page_fields(page))) as Table

// Null where the plan could not even be read.
export function wordsOf({ api, page, text }: Module): Words | null {
  const address = api.page_sentences(page)
  return address === 0 ? null : (JSON.parse(text(address)) as Words)
}

export function fallOf({ api, page, look }: Module, id: number, lengths: Float32Array, finished: boolean, took: number): Fall {
  const hairs = api.page_fall_hairs(page)
  const nodes = api.page_fall_nodes(page)
  const coils = api.page_fall_coils(page)
  return {
    id,
    nodes,
    at: new Float32Array(look(Float64Array, api.page_fall_at(page), 3 * hairs * nodes)),
    lengths: new Float32Array(lengths),
    coils: coils ? new Float32Array(look(Float64Array, coils, 2 * hairs)) : null,
    notAtRest: api.page_fall_not_at_rest(page),
    finished,
    took,
  }
}

// Null where none has fallen.
export function fallenOf({ api, page, text }: Module): Fallen | null {
  const address = api.page_fallen(page)
  return address === 0 ? null : (JSON.parse(text(address)) as Fallen)
}

export function faultOf({ api, page, text }: Module, id: number): Fault {
  return {
    id,
    text: text(api.page_error(page)),
    place: text(api.page_error_place(page)),
    message: text(api.page_error_message(page)),
    remedy: text(api.page_error_remedy(page)),
    line: api.page_error_line(page), column: api.page_error_column(page),
  }
}
