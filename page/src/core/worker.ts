// Where the core runs. The newest ask is the one that counts: between one piece of work and the next the worker looks
// whether a newer one has come, and then leaves the rest of the older one undone.
import { cutOf, fallenOf, fallOf, faultOf, tableOf, wordsOf } from './cut'
import type { Answer, Ask, Want } from './messages'
import { measuredOf } from './measured'
import { load, type Module } from './module'
import { bustOf, heldOf, linesOf } from './shown'

const NODES = 16
const PACKINGS = 6 // times, at most, that hair makes room for hair, once it fell without

let newest: Ask | null = null
let working = false
let made: Ask | null = null // the ask whose cut the core holds
let roomy = false // whether the hair that lies made room for hair

function say(answer: Answer, moved: ArrayBufferLike[] = []): void {
  self.postMessage(answer, { transfer: moved as ArrayBuffer[] })
}

// Lets messages in that came meanwhile.
function pause(): Promise<void> {
  return new Promise((resume) => {
    const channel = new MessageChannel()
    channel.port1.onmessage = () => {
      channel.port1.close()
      resume()
    }
    channel.port2.postMessage(null)
  })
}

function timed(work: () => number): { status: number; took: number } {
  const began = performance.now()
  const status = work()
  return { status, took: performance.now() - began }
}

// False where the ask was refused.
function cut(module: Module, ask: Ask): boolean {
  module.write(ask.plan)
  const { status, took } = timed(() => module.api.page_predict(module.page, ask.hairs, 0))
  if (status !== 0) {
    say({ kind: 'refused', fault: faultOf(module, ask.id) })
    tell(module, ask)
    return false
  }
  const made = cutOf(module, ask.id, ask.plan, took)
  say({ kind: 'cut', cut: made }, [made.roots.buffer, made.normals.buffer, made.lengths.buffer, made.before.buffer])
  tell(module, ask)
  return true
}

const COARSE = 0.006 // metres: edges of the bust's triangles, at first and then
const FINE = 0.003

let wanted: Want = { kind: 'want', held: 'none', step: 0, uncut: false }
let head = -1 // whose bust was handed over
let fine = false

function showBust(module: Module): void {
  const now = module.api.page_head_number(module.page)
  if (now === head && fine) return
  fine = now === head
  head = now
  const bust = bustOf(module, fine ? FINE : COARSE, fine)
  if (!fine) say({ kind: 'measured', measured: measuredOf(module, head) })
  if (bust) say({ kind: 'bust', bust }, [bust.at.buffer, bust.normals.buffer, bust.corners.buffer, bust.field.values.buffer])
}

// What is wanted beside the cut that was made last, which is that of the ask.
function show(module: Module, ask: Ask): void {
  const lines = [0, ...(wanted.step > 0 ? [wanted.step] : [])].map((step) => linesOf(module, ask.id, step))
  for (const made of lines) if (made) say({ kind: 'lines', lines: made })
  if (wanted.held === 'none') return
  const held = heldOf(module, ask.id, wanted.held === 'all' ? -1 : wanted.held, NODES)
  if (held) say({ kind: 'held', held }, [held.at.buffer])
}

// The first plan's sentences, as far as they can be said without a cut: there is something to read at once.
let begun = false

function first(module: Module, ask: Ask): void {
  begun = true
  module.write(ask.plan)
  tell(module, ask)
}

// The plan in sentences, after its lengths, which must not wait.
function tell(module: Module, ask: Ask): void {
  const words = wordsOf(module)
  if (words) say({ kind: 'words', id: ask.id, words })
}

// One piece of falling; false where the core refused it.
function piece(module: Module, ask: Ask, packings: number, finished: boolean): boolean {
  const { status, took } = timed(() => module.api.page_fall(module.page, NODES, packings))
  if (status !== 0) {
    say({ kind: 'refused', fault: faultOf(module, ask.id) })
    return false
  }
  const made = fallOf(module, ask.id, finished, took)
  say({ kind: 'fall', fall: made }, [made.at.buffer])
  return true
}

// Hair that already lies with room goes on from there. Other hair falls without room first, which is soon done, and then
// once more from the comb: a fall without room cannot go on with it. The first piece is done even where a newer ask has
// come, so that hair follows a hand that never rests.
async function fall(module: Module, ask: Ask): Promise<void> {
  if (!roomy || module.api.page_fall_hairs(module.page) === 0) {
    roomy = false
    if (!piece(module, ask, 0, false)) return
    await pause()
    if (newest === ask && !fine) showBust(module)
    if (newest !== ask) return
    module.api.page_fall_lift(module.page)
    roomy = true
  }
  for (let packing = 1; packing <= PACKINGS; packing++) {
    if (!piece(module, ask, 1, packing === PACKINGS)) return
    await pause()
    if (newest !== ask) return
  }
}

// The shape that hair came to rest in, once it has.
function readFall(module: Module, ask: Ask): void {
  const fallen = fallenOf(module)
  if (fallen) say({ kind: 'fallen', id: ask.id, fallen })
}

// Hair as it lies before the cut: the same plan without its steps, on a page of its own. Asked once for each head of hair.
let long: { page: number; of: string } | null = null

async function uncut(module: Module, ask: Ask): Promise<void> {
  const plan = JSON.stringify({ ...(JSON.parse(ask.plan) as object), steps: [] })
  if (long?.of === plan) return
  const page = long?.page ?? module.api.page_new()
  if (!page) return
  long = { page, of: plan }
  const other = module.on(page)
  other.write(plan)
  if (other.api.page_predict(page, ask.hairs, 0) !== 0) return
  for (const packings of [0, 3]) {
    await pause()
    if (newest !== ask) return void (long = { page, of: '' })
    if (packings) other.api.page_fall_lift(page)
    const { status, took } = timed(() => other.api.page_fall(page, NODES, packings))
    if (status !== 0) return
    const lies = fallOf(other, ask.id, packings > 0, took)
    say({ kind: 'uncut', fall: lies }, [lies.at.buffer])
  }
}

async function work(module: Module): Promise<void> {
  if (working) return
  working = true
  for (let done: Ask | null = null; newest !== done; ) {
    const ask = newest as Ask
    if (!begun) first(module, ask)
    made = cut(module, ask) ? ask : null
    if (made) {
      if (module.api.page_head_number(module.page) !== head) showBust(module)
      show(module, ask)
      if (ask.fall) await fall(module, ask)
      if (newest === ask) showBust(module)
      if (newest === ask && ask.fall) readFall(module, ask)
      if (newest === ask && wanted.uncut) await uncut(module, ask)
    }
    await pause()
    done = ask
  }
  working = false
}

const module = load(fetch(new URL('./lengthwise.wasm', self.location.origin + '/')))
module.then((it) => say({ kind: 'table', table: tableOf(it) }))
module.catch((reason: unknown) => say({ kind: 'broken', text: String(reason) }))

self.onmessage = async ({ data }: MessageEvent<Ask | Want>) => {
  if (data.kind === 'follow') newest = data
  else wanted = data
  const core = await module
  if (data.kind === 'follow') return work(core)
  if (made) show(core, made)
  if (made && !working && wanted.uncut) await uncut(core, made)
}
