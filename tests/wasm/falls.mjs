// Hair that falls in the page lies where it lies natively.
//
// usage: node falls.mjs MODULE FALLS DIRECTORY
//
// Every plan in the directory: 8,000 hairs of 16 nodes fall, each for itself, and fall on after every length became 2 %
// longer; then the same where they make room for each other. Every node is where the same calls put it natively, to the
// bit: the arithmetic is the same, in the same order, and core has its own elementary functions.
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { give, load, predict, scaled, string, view } from './module.mjs'

const HAIRS = 8000
const NODES = 16
const [moduleFile, falls, directory] = process.argv.slice(2)
let faults = 0

function fault(text) {
  faults++
  console.log(text)
}

function must(api, page, status, what) {
  if (status !== 0) throw new Error(`${what}: ${string(api, api.page_error(page))}`)
}

// The strands after each plan.
function native(packings, plans) {
  const args = [HAIRS, NODES, packings, ...plans].map(String)
  const bytes = execFileSync(falls, args, { stdio: ['ignore', 'pipe', 'inherit'], maxBuffer: 1 << 30 })
  const numbers = new Float64Array(bytes.buffer, bytes.byteOffset, bytes.length / 8)
  return plans.map((_, i) => numbers.subarray(3 * NODES * HAIRS * i, 3 * NODES * HAIRS * (i + 1)))
}

const strands = (api, page) => Float64Array.from(view(api, Float64Array, api.page_fall_at(page), 3 * NODES * HAIRS))

function compare(what, ours, theirs) {
  if (ours.length !== theirs.length) return fault(`${what}: ${ours.length} numbers from the module, ${theirs.length} natively`)
  const others = ours.filter((number, i) => !Object.is(number, theirs[i])).length
  const most = ours.reduce((far, number, i) => Math.max(far, Math.abs(number - theirs[i])), 0)
  if (others > 0) fault(`${what}: ${others} of ${ours.length} numbers differ, by up to ${most.toExponential(1)} m`)
  else console.log(`${what}: ${ours.length} numbers, all the same`)
}

// The plan's strands, and those after the longer plan.
function fromModule(api, page, packings, plans) {
  api.page_fall_lift(page)
  return plans.map((plan, i) => {
    must(api, page, predict(api, page, readFileSync(plan), HAIRS), plan)
    must(api, page, api.page_fall(page, NODES, packings, 0), plan)
    if (api.page_fall_went_on(page) !== i) fault(`${plan}: hair ${i ? 'fell anew' : 'went on'}`)
    if (api.page_fall_not_at_rest(page) > HAIRS / 1000) fault(`${plan}: ${api.page_fall_not_at_rest(page)} hairs are not at rest`)
    return strands(api, page)
  })
}

// What is refused leaves hair as it lies, and a plan of another head lets it fall anew.
function refuses(api, page, file) {
  const text = readFileSync(file, 'utf8')
  api.page_fall_lift(page)
  if (api.page_fall(page, NODES, 0, 0) === 0 || string(api, api.page_error(page)) === '') fault('hair of no plan fell')
  must(api, page, predict(api, page, text, 100), file)
  must(api, page, api.page_fall(page, NODES, 0, 0), file)
  if (api.page_fall(page, 7, 0, 0) === 0 || string(api, api.page_error(page)) === '') fault('hair of 7 nodes fell')
  if (api.page_fall_hairs(page) !== 100 || api.page_fall_nodes(page) !== NODES) fault('what was refused moved hair')
  if (predict(api, page, '{') === 0 || api.page_fall_hairs(page) !== 100) fault('half a plan took the hair away')
  must(api, page, predict(api, page, text, 100), file)
  must(api, page, api.page_fall(page, NODES, 0, 0), file)
  if (!api.page_fall_went_on(page) || api.page_fall_rounds(page) !== 0) fault('the same plan moved hair')
  const other = JSON.parse(text)
  other.head = { kind: text.includes('"kind": "woman"') ? 'man' : 'woman' }
  must(api, page, predict(api, page, JSON.stringify(other), 100), file)
  must(api, page, api.page_fall(page, NODES, 0, 0), file)
  if (api.page_fall_went_on(page)) fault('hair went on falling on another head')
}

// Hair whose lengths the page gives falls as that of the cut which left them.
function fallsFromGivenLengths(api, page, file) {
  const text = readFileSync(file, 'utf8')
  api.page_fall_lift(page)
  must(api, page, predict(api, page, text, HAIRS), file)
  const lengths = Float64Array.from(view(api, Float64Array, api.page_lengths(page), HAIRS))
  must(api, page, api.page_fall(page, NODES, 0, 0), file)
  const cut = strands(api, page)
  api.page_fall_lift(page)
  must(api, page, give(api, page, text, HAIRS), file)
  if (api.page_hairs(page) !== HAIRS || api.page_lengths(page) !== 0) fault('what is given is not cut')
  view(api, Float64Array, api.page_given(page), HAIRS).set(lengths)
  must(api, page, api.page_fall(page, NODES, 0, 0), file)
  compare(`${file}, lengths given`, strands(api, page), cut)
  if (!string(api, api.page_fallen(page)).includes('"outlines"')) fault('hair of given lengths cannot be read')
  view(api, Float64Array, api.page_given(page), HAIRS)[7] = NaN
  if (api.page_fall(page, NODES, 0, 0) === 0) fault('hair of no length fell')
}

// Whoever waits may stop it: hair lies as it lay, and nothing is read.
function stops(api, page, file) {
  const STOPPED = -7
  api.page_fall_lift(page)
  must(api, page, predict(api, page, readFileSync(file, 'utf8'), HAIRS), file)
  must(api, page, api.page_fall(page, NODES, 2, 1), file)
  const lay = strands(api, page)
  for (const times of [0, 3]) {
    left = times
    const status = api.page_fall(page, NODES, 2, 1)
    if (status !== STOPPED) fault(`${file}: ${status} where it was stopped`)
    if (api.page_fall_left(page) !== 2) fault('a part that was stopped counts as done')
    left = times
    if (api.page_fallen(page) !== 0) fault('what was stopped was read')
  }
  compare(`${file}, stopped`, strands(api, page), lay)
  left = Infinity
  must(api, page, api.page_fall(page, NODES, 2, 1), file)
  if (api.page_fall_left(page) !== 1) fault('a part that was done does not count')
}

let left = Infinity // times that it goes on
const api = await load(moduleFile, () => (left-- > 0 ? 1 : 0))
const page = api.page_new()
const names = readdirSync(directory).filter((name) => name.endsWith('.json'))
const drawer = mkdtempSync(join(tmpdir(), 'lengthwise-'))
if (names.length === 0) fault('no plan to compare')
refuses(api, page, join(directory, names[0]))
fallsFromGivenLengths(api, page, join(directory, names[0]))
stops(api, page, join(directory, names[0]))
for (const name of names) {
  const plans = [join(directory, name), join(drawer, name)]
  writeFileSync(plans[1], scaled(readFileSync(plans[0], 'utf8'), 1.02))
  for (const packings of [0, 2]) {
    const ours = fromModule(api, page, packings, plans)
    const theirs = native(packings, plans)
    const room = packings ? ' with room' : ''
    compare(`${name}${room}`, ours[0], theirs[0])
    compare(`${name}${room}, 2 % longer`, ours[1], theirs[1])
  }
}
api.page_free(page)
rmSync(drawer, { recursive: true })
if (faults > 0) console.log(`${faults} faults`)
process.exitCode = faults > 0 ? 1 : 0
