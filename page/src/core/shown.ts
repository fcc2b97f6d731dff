// What the page draws beside hair: the bust, hair as it was held, lines on the scalp and places, copied out of the core's memory.
import { SURFACE_WIDE, type Bust, type Field, type Held, type Lines, type Place, type Surface, type Vec3 } from './messages'
import { facing, smoothed, units } from './faces'
import type { Module } from './module'

const FOOT = -0.26 // metres: where the bust ends below

const PLACES = ['parting', 'hold', 'guide', 'pivot'] as const // page_place_of in src/wasm/page.h

export function placesOf({ api, page, look }: Module): Place[] {
  const address = api.page_places(page)
  if (!address) throw new Error('not enough memory')
  const columns = api.page_place_columns()
  const count = api.page_place_count(page)
  const rows = look(Float64Array, address, count * columns)
  return Array.from({ length: count }, (_, i) => {
    const number = (column: number): number => rows[i * columns + column] ?? NaN
    return { of: PLACES[number(0)] ?? 'parting', which: number(1), nth: number(2), at: [number(3), number(4), number(5)] }
  })
}

const FIELD = { low: [-0.256, -0.304, -0.2] as Vec3, cell: 0.008, size: [65, 61, 49] as Vec3 }

function fieldOf({ api, page, look }: Module): Field {
  const { low, cell, size } = FIELD
  const address = api.page_bust_field(page, ...low, cell, ...size)
  if (!address) throw new Error('not enough memory')
  return { low, cell, size, values: look(Float32Array, address, size[0] * size[1] * size[2]).slice() }
}

// Three numbers and a fourth, by vertex.
function rows(three: Float32Array, fourth: Float32Array): Float32Array {
  const out = new Float32Array(4 * SURFACE_WIDE * Math.ceil(fourth.length / SURFACE_WIDE))
  for (let i = 0; i < fourth.length; i++) {
    for (let c = 0; c < 3; c++) out[4 * i + c] = three[3 * i + c] ?? 0
    out[4 * i + 3] = fourth[i] ?? 0
  }
  return out
}

// Null where the head has no bust that triangles can be made of. Fine: with triangles so small that what is soft at a hairline
// or in a crease takes more of them.
export function surfaceOf({ api, page, look }: Module, head: number, cell: number, fine: boolean): Surface | null {
  if (api.page_bust(page, cell, FOOT) !== 0) return null
  const vertices = api.page_bust_vertices(page)
  const at = new Float32Array(look(Float64Array, api.page_bust_at(page), 3 * vertices))
  const corners = new Uint32Array(look(Int32Array, api.page_bust_corners(page), 3 * api.page_bust_triangles(page)))
  const calm = (value: Float32Array, times: number): Float32Array => (times === 0 ? value : calm(smoothed(value, corners), times - 1))
  const normals = facing(at, corners)
  const grown = calm(new Float32Array(look(Uint8Array, api.page_bust_scalp(page), vertices)), fine ? 5 : 1)
  const open = calm(look(Float32Array, api.page_bust_open(page), vertices).slice(), fine ? 4 : 2)
  return { head, points: rows(at, open), normals: rows(fine ? units(smoothed(normals, corners, 3)) : normals, grown), corners }
}

export function bustOf(module: Module, head: number, cell: number): Bust | null {
  const { api, look } = module
  const surface = surfaceOf(module, head, cell, false)
  return surface && { ...surface, field: fieldOf(module), colours: look(Uint8Array, api.page_colours(), 3 * api.page_colour_count()).slice() }
}

export const surfaceBuffers = ({ points, normals, corners }: Surface): ArrayBufferLike[] => [points.buffer, normals.buffer, corners.buffer]

export function heldOf({ api, page, look }: Module, id: number, panel: number, nodes: number): Held | null {
  const address = api.page_held(page, nodes, panel)
  return address ? { id, panel, nodes, at: look(Float32Array, address, 3 * nodes * api.page_hairs(page)).slice() } : null
}

export function linesOf({ api, page, look }: Module, id: number, step: number): Lines | null {
  if (api.page_outline(page, step) !== 0) return null
  const count = api.page_outline_count(page)
  if (count === 0) return { id, step, at: new Float32Array(0), beside: new Int32Array(0) }
  return {
    id,
    step,
    at: new Float32Array(look(Float64Array, api.page_outline_at(page), 6 * count)),
    beside: look(Int32Array, api.page_outline_beside(page), 2 * count).slice(),
  }
}
