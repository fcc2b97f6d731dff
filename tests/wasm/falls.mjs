// Hair that falls in the page lies where it lies natively.
//
// usage: node falls.mjs MODULE FALLS DIRECTORY
//
// Every plan in the directory: 8,000 hairs of 16 nodes fall, each for itself, and fall on after every length became 2 %
// longer; then the same where they make room for each other. Each is held against the same calls native: within 1e-6 of
// its length is the same place.
//
// Not every hair has the same place. sin, cos and the like come from two C libraries, so clamps differ in their last bits;
// and which valley a hair comes to, or how far friction lets it slide on the way, may hang on that, above all where long
// hair meets the shoulders. Native code differs from itself as much when it fuses multiplications and additions, which
// is shown beside. Falling on, such hairs add up. Where hair takes room each moves all a little, so there only the
// bulk of them is held.
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { load, predict, scaled, string, view } from './module.mjs'

const HAIRS = 8000
const NODES = 16
const SAME = 1e-6 // of a hair's length
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
function native(kernel, packings, plans) {
  const args = [kernel, HAIRS, NODES, packings, ...plans].map(String)
  const bytes = execFileSync(falls, args, { stdio: ['ignore', 'pipe', 'inherit'], maxBuffer: 1 << 30 })
  const numbers = new Float64Array(bytes.buffer, bytes.byteOffset, bytes.length / 8)
  return plans.map((_, i) => numbers.subarray(3 * NODES * HAIRS * i, 3 * NODES * HAIRS * (i + 1)))
}

const strands = (api, page) => Float64Array.from(view(api, Float64Array, api.page_fall_at(page), 3 * NODES * HAIRS))

const distance = (a, b, i) => Math.hypot(a[i] - b[i], a[i + 1] - b[i + 1], a[i + 2] - b[i + 2])

// How far each hair lies from where the other has it, in its own length.
function apart(ours, theirs) {
  return Array.from({ length: HAIRS }, (_, hair) => {
    let most = 0
    let length = 0
    for (let node = 0; node < NODES; node++) {
      const i = 3 * (hair * NODES + node)
      most = Math.max(most, distance(ours, theirs, i))
      if (node > 0) length += Math.hypot(theirs[i] - theirs[i - 3], theirs[i + 1] - theirs[i - 2], theirs[i + 2] - theirs[i - 1])
    }
    return most / length
  })
}

function compare(what, ours, theirs, fused, most) {
  if (ours.length !== theirs.length) return fault(`${what}: ${ours.length} numbers from the module, ${theirs.length} natively`)
  const beyond = (far, limit) => far.filter((d) => !(d <= limit)).length
  const far = apart(ours, theirs).sort((a, b) => a - b)
  const between = apart(fused, theirs)
  const line =
    `${what}: ${beyond(far, SAME)} of ${HAIRS} elsewhere, ${beyond(far, 0.01)} by a hundredth of their length; ` +
    `median ${far[HAIRS / 2].toExponential(1)}; native, fused and not: ${beyond(between, SAME)}, ${beyond(between, 0.01)}`
  if (beyond(far, SAME) > most.elsewhere * HAIRS || beyond(far, 0.01) > most.far * HAIRS || !(far[HAIRS / 2] <= most.median)) fault(line)
  else console.log(line)
}

// The plan's strands, and those after the longer plan.
function fromModule(api, page, packings, plans) {
  api.page_fall_lift(page)
  return plans.map((plan, i) => {
    must(api, page, predict(api, page, readFileSync(plan), HAIRS), plan)
    must(api, page, api.page_fall(page, NODES, packings), plan)
    if (api.page_fall_went_on(page) !== i) fault(`${plan}: hair ${i ? 'fell anew' : 'went on'}`)
    if (api.page_fall_not_at_rest(page) > HAIRS / 1000) fault(`${plan}: ${api.page_fall_not_at_rest(page)} hairs are not at rest`)
    return strands(api, page)
  })
}

// What is refused leaves hair as it lies, and a plan of another head lets it fall anew.
function refuses(api, page, file) {
  const text = readFileSync(file, 'utf8')
  api.page_fall_lift(page)
  if (api.page_fall(page, NODES, 0) === 0 || string(api, api.page_error(page)) === '') fault('hair of no plan fell')
  must(api, page, predict(api, page, text, 100), file)
  must(api, page, api.page_fall(page, NODES, 0), file)
  if (api.page_fall(page, 7, 0) === 0 || string(api, api.page_error(page)) === '') fault('hair of 7 nodes fell')
  if (api.page_fall_hairs(page) !== 100 || api.page_fall_nodes(page) !== NODES) fault('what was refused moved hair')
  if (predict(api, page, '{') === 0 || api.page_fall_hairs(page) !== 100) fault('half a plan took the hair away')
  must(api, page, predict(api, page, text, 100), file)
  must(api, page, api.page_fall(page, NODES, 0), file)
  if (!api.page_fall_went_on(page) || api.page_fall_rounds(page) !== 0) fault('the same plan moved hair')
  const other = JSON.parse(text)
  other.head = { kind: text.includes('"kind": "woman"') ? 'man' : 'woman' }
  must(api, page, predict(api, page, JSON.stringify(other), 100), file)
  must(api, page, api.page_fall(page, NODES, 0), file)
  if (api.page_fall_went_on(page)) fault('hair went on falling on another head')
}

const ALONE = { elsewhere: 0.05, far: 0.02, median: 1e-9 }
const ALONE_AGAIN = { elsewhere: 0.1, far: 0.04, median: 1e-9 }
const TOGETHER = { elsewhere: 1, far: 0.06, median: 3e-3 }

const api = await load(moduleFile)
const page = api.page_new()
const names = readdirSync(directory).filter((name) => name.endsWith('.json'))
const drawer = mkdtempSync(join(tmpdir(), 'lengthwise-'))
if (names.length === 0) fault('no plan to compare')
refuses(api, page, join(directory, names[0]))
for (const name of names) {
  const plans = [join(directory, name), join(drawer, name)]
  writeFileSync(plans[1], scaled(readFileSync(plans[0], 'utf8'), 1.02))
  for (const packings of [0, 2]) {
    const ours = fromModule(api, page, packings, plans)
    const theirs = native('narrow', packings, plans)
    const fused = native('widest', packings, plans)
    const room = packings ? ' with room' : ''
    compare(`${name}${room}`, ours[0], theirs[0], fused[0], packings ? TOGETHER : ALONE)
    compare(`${name}${room}, 2 % longer`, ours[1], theirs[1], fused[1], packings ? TOGETHER : ALONE_AGAIN)
  }
}
api.page_free(page)
rmSync(drawer, { recursive: true })
if (faults > 0) console.log(`${faults} faults`)
process.exitCode = faults > 0 ? 1 : 0
