// Where the cut is read. It carries out the newest plan for itself, so that the worker that follows the hand never waits for it.
import type { LineRead, Read, Reading, ReadLine, Told } from './messages'
import { load, type Module } from './module'
import { newestOnly, pause } from './newest'
import { surfaceBuffers, surfaceOf } from './shown'
import type { Band } from '../state/store'

const KINDS: readonly Band['kind'][] = ['between', 'level', 'upright']

let made: Read | null = null // whose cut the core holds
let band: Band | null = null

const FINE = 0.0015 // metres: edges of the bust's triangles, which lids and lips need

let head = -1 // whose surface was handed over

const say = (told: Told, moved: ArrayBufferLike[] = []): void => self.postMessage(told, { transfer: moved as ArrayBuffer[] })

function line(module: Module): void {
  if (!made) return
  if (!band) return say({ kind: 'line', line: null })
  const [from, to] = band.kind === 'between' ? [band.from, band.to] : [band.at, band.at]
  const address = module.api.page_band(module.page, KINDS.indexOf(band.kind), ...from, ...to)
  say({ kind: 'line', line: address === 0 ? null : (JSON.parse(module.text(address)) as LineRead) })
}

async function read(module: Module, ask: Read, still: () => boolean): Promise<void> {
  module.write(ask.plan)
  if (module.api.page_predict(module.page, ask.hairs, 0) !== 0) return void (made = null)
  made = ask
  if (band) line(module)
  const address = module.api.page_reading(module.page)
  if (address !== 0) say({ kind: 'reading', id: ask.id, reading: JSON.parse(module.text(address)) as Reading })
  await pause()
  if (still()) showFiner(module, ask)
}

// It takes seconds, and heads seldom change.
function showFiner(module: Module, ask: Read): void {
  if (ask.head === head) return
  head = ask.head
  const surface = surfaceOf(module, head, FINE, true)
  if (surface) say({ kind: 'finer', surface }, surfaceBuffers(surface))
}

const core = load(fetch(new URL('./lengthwise.wasm', self.location.origin + '/'))).then((module) => ({ module, follow: newestOnly<Read>((ask, still) => read(module, ask, still)) }))
core.catch(() => undefined) // whoever cuts says so

self.onmessage = async ({ data }: MessageEvent<Read | ReadLine>) => {
  if (data.kind === 'line') band = data.band
  const { module, follow } = await core
  if (data.kind === 'line') line(module)
  else await follow(data)
}
