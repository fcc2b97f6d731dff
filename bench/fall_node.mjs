// How long the page's module takes to cut and to let hair fall, in Node, on one thread. Prints rows for bench_fall's
// CSV: stage,hairs,nodes,threads,rounds,seconds,us_per_hair,ratio,bytes_per_hair,not_at_rest,note. seconds is the least
// of fifteen runs, or of as many as go into five seconds (machines that share their cores change speed and keep it for
// seconds); ratio is left empty.
//
// "wasm cut": a plan read and carried out again, its lengths up and down by 2 %, on the head and roots that are there.
// "wasm fall": from the comb, ground and all. "wasm fall; warm": on from where hair lay before that change. "with
// room": hair makes room once more.
//
// usage: node fall_node.mjs MODULE PLAN
import { readFileSync } from 'node:fs'
import { load, predict, scaled, string } from '../tests/wasm/module.mjs'

const HAIRS = 8000
const NODES = 16
const RUNS = 15
const MILLISECONDS = 5000
const [moduleFile, planFile] = process.argv.slice(2)
const plan = readFileSync(planFile, 'utf8')
const plans = [plan, scaled(plan, 1.02)]
const api = await load(moduleFile)
const page = api.page_new()

function must(status) {
  if (status !== 0) throw new Error(string(api, api.page_error(page)))
}

function row(stage, seconds, falls) {
  const rounds = falls ? (api.page_fall_rounds(page) / HAIRS).toFixed(2) : ''
  const left = falls ? api.page_fall_not_at_rest(page) : ''
  console.log([stage, HAIRS, falls ? NODES : '', 1, rounds, seconds.toFixed(4), ((1e6 * seconds) / HAIRS).toFixed(2), '', '', left, ''].join(','))
}

// prepare is not timed.
function least(prepare, run) {
  const begun = performance.now()
  let best = Infinity
  for (let i = 0; i < RUNS || performance.now() - begun < MILLISECONDS; i++) {
    prepare()
    const start = performance.now()
    run()
    best = Math.min(best, (performance.now() - start) / 1000)
  }
  return best
}

let cuts = 0 // always the other plan: hair of which nothing changed falls in no time
const cut = () => must(predict(api, page, plans[++cuts % 2], HAIRS))
const fall = (packings) => () => must(api.page_fall(page, NODES, packings, 0))

must(predict(api, page, plan, HAIRS))
row('wasm cut', least(() => {}, cut), false)
row('wasm fall', least(() => api.page_fall_lift(page), fall(0)), true)
row('wasm fall; warm', least(cut, fall(0)), true)
row('wasm fall; with room', least(() => api.page_fall_lift(page), fall(6)), true)
row('wasm fall; with room; warm', least(cut, fall(1)), true)
api.page_free(page)
