// Where plans are cut. It does nothing that takes long, so that lengths follow the hand: hair falls in a worker of its own
// (faller.ts), and the cut is read in another (reader.ts).
import { cutOf, faultOf, tableOf, wordsOf } from './cut'
import type { Answer, Ask, Held, More, Want } from './messages'
import { measuredOf } from './measured'
import { load, timed, type Module } from './module'
import { newestOnly } from './newest'
import { bustOf, heldOf, linesOf, surfaceBuffers } from './shown'

const NODES = 16
const COARSE = 0.006 // metres: edges of the bust's triangles; a finer one comes from the reader

let made: Ask | null = null // the ask whose cut the core holds
let wanted: Want = { kind: 'want', held: 'none', step: 0, uncut: false }
let head = -1 // whose bust was handed over
let begun = false
let owed: Want['held'] | null = null // of what goes with the cut nothing was told yet but hair held so

function say(answer: Answer, moved: ArrayBufferLike[] = []): void {
  self.postMessage(answer, { transfer: moved as ArrayBuffer[] })
}

const held = (module: Module, id: number, which: Want['held']): Held | null => (which === 'none' ? null : heldOf(module, id, which === 'all' ? -1 : which, NODES))

function showBeside(module: Module, { id }: Ask, told: Want['held']): void {
  const as = wanted.held === told ? null : held(module, id, wanted.held)
  const lines = [0, ...(wanted.step > 0 ? [wanted.step] : [])].map((step) => linesOf(module, id, step)).filter((of) => of !== null)
  say({ kind: 'beside', beside: { lines, held: as } }, as ? [as.at.buffer] : [])
}

// False where the ask was refused.
function cut(module: Module, ask: Ask): boolean {
  module.write(ask.plan)
  const { status, took } = timed(() => module.api.page_predict(module.page, ask.hairs, 0))
  if (status !== 0) {
    say({ kind: 'refused', fault: faultOf(module, ask.id) })
    return false
  }
  const cut = cutOf(module, ask.id, ask.plan, took)
  owed = wanted.held === 'all' ? 'none' : wanted.held
  const as = held(module, ask.id, owed)
  say({ kind: 'cut', cut, held: as }, [cut.roots.buffer, cut.normals.buffer, cut.lengths.buffer, cut.before.buffer, ...(as ? [as.at.buffer] : [])])
  return true
}

// The plan in sentences. They come after the lengths, which must not wait, but for the first plan's: there is something to
// read at once, as far as it can be said without a cut.
function tell(module: Module, ask: Ask): void {
  const words = wordsOf(module)
  if (words) say({ kind: 'words', id: ask.id, words })
}

function showBust(module: Module): void {
  head = module.api.page_head_number(module.page)
  const bust = bustOf(module, head, COARSE)
  say({ kind: 'measured', measured: measuredOf(module, head) })
  if (bust) say({ kind: 'bust', bust }, [...surfaceBuffers(bust), bust.field.values.buffer])
}

const follow = (module: Module) =>
  newestOnly<Ask>((ask) => {
    if (!begun) {
      begun = true
      module.write(ask.plan)
      tell(module, ask)
    }
    made = cut(module, ask) ? ask : null
    if (!made) tell(module, ask)
  })

// What goes with the lengths.
function more(module: Module): void {
  if (!made || owed === null) return
  tell(module, made)
  if (module.api.page_head_number(module.page) !== head) showBust(module)
  showBeside(module, made, owed)
  owed = null
}

const core = load(fetch(new URL('./lengthwise.wasm', self.location.origin + '/'))).then((module) => ({ module, follow: follow(module) }))
core.then(({ module }) => say({ kind: 'table', table: tableOf(module) }))
core.catch((reason: unknown) => say({ kind: 'broken', text: String(reason) }))

self.onmessage = async ({ data }: MessageEvent<Ask | Want | More>) => {
  const { module, follow } = await core
  if (data.kind === 'follow') return follow(data)
  if (data.kind === 'more') return more(module)
  wanted = data
  if (made && owed === null) showBeside(module, made, 'none')
}
