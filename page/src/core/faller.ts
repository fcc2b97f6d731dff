// Where hair falls. It cuts the newest plan for itself, so that whoever only wants lengths never waits for it.
import { fallenOf, fallOf, faultOf } from './cut'
import type { Answer, Ask, Want } from './messages'
import { load, timed, type Module } from './module'
import { newestOnly, pause, rest } from './newest'

const NODES = 16
const PACKINGS = 6 // times, at most, that hair makes room for hair, once it fell without
const REST = 300 // milliseconds that hair lies before it is read: it takes a quarter of a second, in which a newer ask would wait
const SETTLED = 0.0005 // metres: hair that moves less when it makes room has made it

const FAR = 0.02 // metres: hair that moves farther in one piece of going on may rest where no hair would from the comb

let made: Ask | null = null // the ask whose cut the core holds
let roomy = false // whether the hair that lies made room for hair
let wanted = false // whether hair is to fall uncut as well

function say(answer: Answer, moved: ArrayBufferLike[] = []): void {
  self.postMessage(answer, { transfer: moved as ArrayBuffer[] })
}

// One piece of falling. What came of it: more is to come, that was all, it went astray, or the core refused it.
function piece(module: Module, ask: Ask, packings: number, last: boolean): 'more' | 'all' | 'astray' | 'refused' {
  const { status, took } = timed(() => module.api.page_fall(module.page, NODES, packings))
  if (status !== 0) {
    say({ kind: 'refused', fault: faultOf(module, ask.id) })
    return 'refused'
  }
  if (module.api.page_fall_went_on(module.page) !== 0 && module.api.page_fall_moved(module.page) > FAR) return 'astray'
  const all = packings > 0 && (last || module.api.page_fall_moved(module.page) < SETTLED)
  const fall = fallOf(module, ask.id, all, took)
  say({ kind: 'fall', fall }, [fall.at.buffer, fall.lengths.buffer])
  return all ? 'all' : 'more'
}

// Hair that already lies with room goes on from there. Other hair falls without room first, which is soon done, and then
// once more from the comb: a fall without room cannot go on with it. The first piece is done even where a newer ask has
// come, so that hair follows a hand that never rests.
async function fall(module: Module, ask: Ask, still: () => boolean): Promise<void> {
  if (!roomy || module.api.page_fall_hairs(module.page) === 0) {
    roomy = false
    if (piece(module, ask, 0, false) === 'refused') return
    await pause()
    if (!still()) return
    module.api.page_fall_lift(module.page)
    roomy = true
  }
  for (let packing = 1, came: ReturnType<typeof piece> = 'more'; came === 'more'; packing++) {
    came = piece(module, ask, 1, packing === PACKINGS)
    if (came === 'refused') return
    if (came === 'astray') {
      module.api.page_fall_lift(module.page)
      return fall(module, ask, still)
    }
    await pause()
    if (!still()) return
  }
  await rest(REST)
  if (!still()) return
  const fallen = fallenOf(module)
  if (fallen) say({ kind: 'fallen', id: ask.id, fallen })
}

// Hair as it lies before the cut: the same plan without its steps, on a page of its own. Asked once for each head of hair.
let long: { page: number; of: string } | null = null

async function uncut(module: Module, ask: Ask, still: () => boolean): Promise<void> {
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
    if (!still()) return void (long = { page, of: '' })
    if (packings) other.api.page_fall_lift(page)
    const { status, took } = timed(() => other.api.page_fall(page, NODES, packings))
    if (status !== 0) return
    const lies = fallOf(other, ask.id, packings > 0, took)
    say({ kind: 'uncut', fall: lies }, [lies.at.buffer, lies.lengths.buffer])
  }
}

const follow = (module: Module) =>
  newestOnly<Ask>(async (ask, still) => {
    if (!ask.fall) return
    if (made !== ask) {
      module.write(ask.plan)
      made = module.api.page_predict(module.page, ask.hairs, 0) === 0 ? ask : null // whoever cuts says why
      if (made) await fall(module, ask, still)
    }
    if (made && still() && wanted) await uncut(module, ask, still)
  })

const core = load(fetch(new URL('./lengthwise.wasm', self.location.origin + '/'))).then((module) => follow(module))
core.catch(() => undefined) // whoever cuts says so

let newest: Ask | null = null
self.onmessage = async ({ data }: MessageEvent<Ask | Want>) => {
  if (data.kind === 'follow') newest = data
  else wanted = data.uncut
  const follow = await core
  if (newest) await follow(newest)
}
