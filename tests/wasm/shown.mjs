// What the page draws of a prediction, from the module itself: the bust, hair as it was held, lines on the scalp, places.
//
// usage: node shown.mjs MODULE DIRECTORY
//
// Tries every plan in the directory. What is computed elsewhere is held to it: a held hair is as long in the hand as its cut
// length says, and lines lie where the labels of the hairs beside them change.
import { readdirSync, readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { load, predict, string, view } from './module.mjs'

const NODES = 32
const [moduleFile, directory] = process.argv.slice(2)
const plans = readdirSync(directory).filter((name) => name.endsWith('.json'))
let faults = 0
let looked = 0

function expect(true_, text) {
  looked++
  if (true_) return
  faults++
  if (faults < 30) console.log(text)
}

const doubles = (api, address, count) => view(api, Float64Array, address, count).slice()
const distance = (a, i, b, j) => Math.hypot(a[i] - b[j], a[i + 1] - b[j + 1], a[i + 2] - b[j + 2])

// One closed surface: every edge lies between two triangles, once each way.
function checkBust(api, page, name) {
  expect(api.page_bust(page, 0.006, -0.26) === 0, `${name}: no bust`)
  const vertices = api.page_bust_vertices(page), triangles = api.page_bust_triangles(page)
  const normals = doubles(api, api.page_bust_normals(page), 3 * vertices)
  const corners = view(api, Int32Array, api.page_bust_corners(page), 3 * triangles).slice()
  const scalp = view(api, Uint8Array, api.page_bust_scalp(page), vertices).slice()
  const open = view(api, Float32Array, api.page_bust_open(page), vertices).slice()
  const edges = new Set()
  for (let i = 0; i < corners.length; i += 3) for (let k = 0; k < 3; k++) edges.add(corners[i + k] * vertices + corners[i + ((k + 1) % 3)])
  expect(edges.size === 3 * triangles, `${name}: an edge of the bust is there twice`)
  for (const edge of edges) expect(edges.has((edge % vertices) * vertices + Math.floor(edge / vertices)), `${name}: the bust is open`)
  for (let i = 0; i < vertices; i++) expect(Math.abs(Math.hypot(normals[3 * i], normals[3 * i + 1], normals[3 * i + 2]) - 1) < 1e-6, `${name}: a normal of no unit length`)
  expect(scalp.some((s) => s === 1) && scalp.some((s) => s === 0), `${name}: all of the bust is scalp, or none`)
  expect(open.every((o) => o >= 0 && o <= 1) && open.some((o) => o < 0.6) && open.some((o) => o > 0.95), `${name}: how open the bust lies is out of range`)
  const before = api.page_bust_at(page)
  expect(api.page_bust(page, 0.006, -0.26) === 0 && api.page_bust_at(page) === before, `${name}: the same bust was made twice`)
  const low = [-0.12, -0.05, -0.12]
  const field = view(api, Float32Array, api.page_bust_field(page, ...low, 0.06, 5, 3, 5), 75).slice()
  expect(field[2 + 5 * 1 + 15 * 2] < 0, `${name}: the middle of the head lies outside`)
  expect(field[0] > 0 && field[4] > 0, `${name}: a corner far from the head lies inside`)
  expect(api.page_bust_field(page, 0, 0, 0, 0.1, 257, 1, 1) === 0, `${name}: a grid beyond the limit was made`)
}

function checkHeld(api, page, name) {
  const hairs = api.page_hairs(page)
  const setBy = view(api, Int32Array, api.page_set_by(page), hairs).slice()
  const lengths = doubles(api, api.page_lengths(page), hairs)
  const roots = doubles(api, api.page_roots(page), 3 * hairs)
  const columns = api.page_hold_columns(), panels = api.page_panel_count(page)
  const holds = doubles(api, api.page_holds(page), panels * columns)
  const held = view(api, Float32Array, api.page_held(page, NODES, -1), 3 * NODES * hairs).slice()
  for (let i = 0; i < hairs; i++) {
    const row = 3 * NODES * i
    if (setBy[i] < 0) {
      expect(Number.isNaN(held[row]), `${name}: hair ${i} was held by nobody`)
      continue
    }
    expect(distance(held, row, roots, 3 * i) < 1e-5, `${name}: held hair ${i} begins beside its root`)
    let length = 0
    for (let k = 1; k < NODES; k++) length += distance(held, row + 3 * k - 3, held, row + 3 * k)
    const step = holds[setBy[i] * columns + 5] // factor
    // What technique takes off more than the line says is not in the hand: point, slide and thin only shorten.
    expect(length > lengths[i] / step - 2e-4, `${name}: hair ${i} was held ${length} m long and is ${lengths[i]} m`)
  }
  const one = setBy.find((panel) => panel >= 0) ?? -1
  const some = view(api, Float32Array, api.page_held(page, NODES, one), 3 * NODES * hairs)
  for (let i = 0; i < hairs; i++) expect(Number.isNaN(some[3 * NODES * i]) === (setBy[i] !== one), `${name}: hair ${i} of another panel was held`)
  expect(api.page_held(page, 1, -1) === 0, `${name}: hair of one node was held`)
}

// Near a line between two sections grow hairs of both; ends of pieces meet ends of pieces.
function checkLines(api, page, name, step) {
  expect(api.page_outline(page, step) === 0, `${name}: no lines of step ${step}`)
  const count = api.page_outline_count(page)
  if (count === 0) return
  const at = doubles(api, api.page_outline_at(page), 6 * count)
  const beside = view(api, Int32Array, api.page_outline_beside(page), 2 * count).slice()
  const most = step === 0 ? api.page_section_count(page) : api.page_panel_count(page)
  const ends = new Map()
  const key = (i) => `${at[i].toFixed(7)} ${at[i + 1].toFixed(7)} ${at[i + 2].toFixed(7)}`
  for (let i = 0; i < count; i++) {
    for (const end of [6 * i, 6 * i + 3]) ends.set(key(end), (ends.get(key(end)) ?? 0) + 1)
    const [a, b] = [beside[2 * i], beside[2 * i + 1]]
    expect(a !== b && a >= -1 && b >= -1 && a < most && b < most, `${name}: a line of step ${step} between ${a} and ${b}`)
    expect(distance(at, 6 * i, at, 6 * i + 3) < 0.02, `${name}: a piece of line as long as ${distance(at, 6 * i, at, 6 * i + 3)}`)
  }
  const loose = [...ends.values()].filter((n) => n === 1).length
  expect(loose === 0, `${name}: ${loose} of ${2 * count} ends of the lines of step ${step} hang loose`)
  if (step > 0) return
  const hairs = api.page_hairs(page)
  const roots = doubles(api, api.page_roots(page), 3 * hairs)
  const sections = view(api, Int16Array, api.page_sections(page), hairs).slice()
  for (let i = 0; i < count; i += 7) {
    const near = new Set()
    for (let h = 0; h < hairs; h++) if (distance(at, 6 * i, roots, 3 * h) < 0.012) near.add(sections[h])
    for (const label of [beside[2 * i], beside[2 * i + 1]]) expect(label < 0 || near.has(label) || near.size === 0, `${name}: no hair of section ${label} grows beside its line`)
  }
}

function checkPlaces(api, page, name) {
  const address = api.page_places(page)
  const columns = api.page_place_columns()
  const rows = doubles(api, address, api.page_place_count(page) * columns)
  const plan = JSON.parse(readFileSync(join(directory, name), 'utf8'))
  const wanted = (plan.sections ?? []).reduce((sum, { parting }) => sum + (parting.through?.length ?? parting.chain?.length ?? (parting.level || parting.upright ? 1 : 0)), 0)
  const named = plan.sections ?? []
  let found = 0
  for (let i = 0; i < rows.length; i += columns) {
    if (rows[i] === 0) {
      found++
      const { parting } = named[rows[i + 1]] ?? {}
      expect(parting?.through ?? parting?.chain ?? parting?.level ?? parting?.upright, `${name}: a place of parting ${rows[i + 1]}, which names none`)
    }
    expect(Math.hypot(rows[i + 3], rows[i + 4], rows[i + 5]) > 0.03, `${name}: a place in the middle of the head`)
  }
  expect(found === wanted, `${name}: ${found} places of partings, ${wanted} in the plan`)
}

const api = await load(moduleFile)
expect(api.page_colour_count() >= 2, 'no colours')
const page = api.page_new()
expect(api.page_bust(page, 0.006, -0.26) !== 0, 'a bust without a head')
expect(api.page_held(page, NODES, -1) === 0 && api.page_outline(page, 0) !== 0, 'something held without a cut')
for (const name of plans) {
  if (predict(api, page, readFileSync(join(directory, name)), 3000) !== 0) throw new Error(`${name}: ${string(api, api.page_error(page))}`)
  checkBust(api, page, name)
  checkHeld(api, page, name)
  const steps = JSON.parse(readFileSync(join(directory, name), 'utf8')).steps?.length ?? 0
  for (let step = 0; step <= steps; step++) checkLines(api, page, basename(name), step)
  expect(api.page_outline(page, steps + 1) !== 0, `${name}: lines of a step that is not there`)
  checkPlaces(api, page, name)
}
const heads = api.page_head_number(page)
predict(api, page, JSON.stringify({ format: 'lengthwise plan', version: 1, units: 'cm', head: { circumference: 60 }, steps: [] }), 100)
expect(api.page_head_number(page) !== heads, 'another head goes by the old number')
expect(api.page_bust_vertices(page) === 0, 'the bust of the old head is still there')
console.log(`${plans.length} plans, ${looked} things looked at, ${faults} faults`)
process.exit(faults > 0 || looked < 1000 ? 1 : 0)
