// Where the core runs. The newest ask is the one that counts: between one piece of work and the next the worker looks
// whether a newer one has come, and then leaves the rest of the older one undone.
import { cutOf, fallOf, faultOf } from './cut'
import type { Answer, Ask } from './messages'
import { load, type Module } from './module'

const NODES = 16
const PACKINGS = 6 // times, at most, that hair makes room for hair, once it fell without

let newest: Ask | null = null
let working = false
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
    return false
  }
  const made = cutOf(module, ask.id, ask.plan, took)
  say({ kind: 'cut', cut: made }, [made.roots.buffer, made.normals.buffer, made.lengths.buffer, made.before.buffer])
  return true
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

async function work(module: Module): Promise<void> {
  if (working) return
  working = true
  for (let done: Ask | null = null; newest !== done; ) {
    const ask = newest as Ask
    if (cut(module, ask) && ask.fall) await fall(module, ask)
    await pause()
    done = ask
  }
  working = false
}

const module = load(fetch(new URL('./lengthwise.wasm', self.location.origin + '/')))
module.catch((reason: unknown) => say({ kind: 'broken', text: String(reason) }))

self.onmessage = async (event: MessageEvent<Ask>) => {
  newest = event.data
  await work(await module)
}
