// Where hair falls, from the lengths that the cut left it: whoever cuts never waits for it.
import { fallenOf, fallOf, faultOf } from './cut'
import type { Answer, Ask, Let, Want, Watch } from './messages'
import { load, timed, type Module } from './module'
import { newestOnly, pause, rest } from './newest'

const NODES = 16
const PACKINGS = 6 // times, at most, that hair makes room for hair
const REST = 300 // milliseconds that hair lies before it is read: it takes a quarter of a second, in which a newer ask would wait

const STOPPED = -7 // LW_ERROR_STOPPED
const LONGEST = 400 // milliseconds that a first part may take while newer asks come

let made: Let | null = null // whose hair the core holds
let wanted = false // whether hair is to fall uncut as well
let newest: Let | Ask | null = null
let asked: Int32Array | null = null // the newest ask's id, which can be looked at while the core works; null: it cannot
let until = 0 // when what is done is left undone, if there is a newer ask; in performance.now

const goesOn = (): boolean => !made || !asked || Atomics.load(asked, 0) === made.id || performance.now() < until

function say(answer: Answer, moved: ArrayBufferLike[] = []): void {
  self.postMessage(answer, { transfer: moved as ArrayBuffer[] })
}

// Each part is shown. The first may go on though a newer ask has come, so that now and then hair follows a hand that never rests.
async function fall(module: Module, ask: Let, still: () => boolean): Promise<void> {
  const on = module.api.page_fall_hairs(module.page) > 0
  for (let left = 1; left > 0; ) {
    const { status, took } = timed(() => module.api.page_fall(module.page, NODES, PACKINGS, 1))
    if (status === STOPPED) return
    if (status !== 0) return say({ kind: 'refused', fault: faultOf(module, ask.id) })
    until = 0
    left = module.api.page_fall_left(module.page)
    show(module, ask, took)
    await pause()
    if (!still()) return
  }
  await rest(REST)
  if (!still() || (on && !(await anew(module, ask, still)))) return
  const fallen = fallenOf(lying ?? module)
  if (fallen) say({ kind: 'fallen', id: ask.id, fallen })
}

function show(module: Module, ask: Let, took: number): void {
  const fall = fallOf(module, ask.id, ask.lengths, module.api.page_fall_left(module.page) === 0, took)
  say({ kind: 'fall', fall }, [fall.at.buffer, fall.lengths.buffer])
}

// Hair that fell on lies in the valleys in which it lay, so where it lies depends on what the plan was before. When the hand rests
// it falls once more, from the comb, on the other page: what it then reads as is the plan's alone. The page that it lies on is the
// one to go on from.
let lying: Module | null = null // null: the first
let spare: Module | null = null

async function anew(module: Module, ask: Let, still: () => boolean): Promise<boolean> {
  const page = spare?.page ?? module.api.page_new()
  if (!page) return true
  const other = (spare = module.on(page))
  if (!take(other, ask)) return true
  other.api.page_fall_lift(page)
  let took = 0
  for (let left = 1; left > 0; left = other.api.page_fall_left(page)) {
    const part = timed(() => other.api.page_fall(page, NODES, PACKINGS, 1))
    if (part.status !== 0) return part.status !== STOPPED
    took += part.took
    await pause()
    if (!still()) return false
  }
  lying = other
  spare = module
  show(other, ask, took)
  return true
}

// Hair as it lies before the cut: the same plan without its steps, on a page of its own. Asked once for each head of hair.
let long: { page: number; of: string } | null = null

async function uncut(module: Module, ask: Let, still: () => boolean): Promise<void> {
  const plan = JSON.stringify({ ...(JSON.parse(ask.plan) as object), steps: [] })
  if (long?.of === plan) return
  const page = long?.page ?? module.api.page_new()
  if (!page) return
  long = { page, of: plan }
  const other = module.on(page)
  other.write(plan)
  if (other.api.page_predict(page, ask.hairs, 0) !== 0) return
  for (let left = 1; left > 0; ) {
    await pause()
    if (!still()) return void (long = { page, of: '' })
    const { status, took } = timed(() => other.api.page_fall(page, NODES, PACKINGS, 1))
    if (status === STOPPED) return void (long = { page, of: '' })
    if (status !== 0) return
    left = other.api.page_fall_left(page)
    const lies = fallOf(other, ask.id, new Float32Array(other.look(Float64Array, other.api.page_lengths(page), ask.hairs)), left === 0, took)
    say({ kind: 'uncut', fall: lies }, [lies.at.buffer, lies.lengths.buffer])
  }
}

// False where the core refuses; whoever cuts says why.
function take({ api, page, look, write }: Module, ask: Let): boolean {
  write(ask.plan)
  if (api.page_give(page, ask.hairs, 0) !== 0) return false
  look(Float64Array, api.page_given(page), ask.lengths.length).set(ask.lengths)
  return true
}

const follow = (first: Module) =>
  newestOnly<Let | Ask>(async (ask, still) => {
    if (ask.kind === 'follow') return // its cut comes later; what is older is left undone
    until = ask.long ? performance.now() + LONGEST : 0
    const module = lying ?? first
    if (made !== ask) {
      made = take(module, ask) ? ask : null
      if (made) await fall(module, ask, still)
    }
    if (made && still() && wanted) await uncut(module, ask, still)
  })

const core = load(fetch(new URL('./lengthwise.wasm', self.location.origin + '/')), goesOn).then((module) => follow(module))
core.catch(() => undefined) // whoever cuts says so

self.onmessage = async ({ data }: MessageEvent<Ask | Let | Want | Watch>) => {
  if (data.kind === 'watch') asked = data.asked
  else if (data.kind === 'follow' || data.kind === 'let') newest = data
  else wanted = data.uncut
  const follow = await core
  if (newest) await follow(newest)
}
