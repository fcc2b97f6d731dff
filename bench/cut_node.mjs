// How long a changed plan takes to give new lengths in the page's module, in Node, on one thread: for every plan, read
// and carried out on the head and roots that are there, every length of it another .3 % longer, so that no path is
// known; and with the last step alone changed. Prints rows for bench_cut's CSV:
// stage,hairs,panels,threads,runs,min_s,median_s,ratio,bytes_per_hair. "checked": with what to warn of.
//
// usage: node cut_node.mjs MODULE DIRECTORY
import { readdirSync, readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { load, predict, scaled, string } from '../tests/wasm/module.mjs'

const HAIRS = 8000
const RUNS = 9
const [moduleFile, directory] = process.argv.slice(2)
const api = await load(moduleFile)

function must(page, status) {
  if (status !== 0) throw new Error(string(api, api.page_error(page)))
}

function row(stage, panels, seconds) {
  seconds.sort((a, b) => a - b)
  const figures = [seconds[0], seconds[RUNS >> 1]].map((s) => s.toFixed(6))
  console.log([stage, HAIRS, panels, 1, RUNS, ...figures, '1.000', ''].join(','))
}

function measure(stage, plan, changed) {
  const page = api.page_new()
  const lengths = []
  const checked = []
  for (let run = -2; run < RUNS; run++) {
    const text = changed(plan, 1 + 0.003 * (run + 3))
    const start = performance.now()
    must(page, predict(api, page, text, HAIRS))
    const cut = performance.now()
    if (api.page_warning_count(page) < 0) must(page, 1)
    if (run < 0) continue
    lengths.push((cut - start) / 1000)
    checked.push((performance.now() - start) / 1000)
  }
  row(stage, api.page_panel_count(page), lengths)
  row(`${stage}; checked`, api.page_panel_count(page), checked)
  api.page_free(page)
}

// The last step's hair held a little lower; null where it is not held at an angle.
function lowered(text, times) {
  const plan = JSON.parse(text)
  const { hold } = plan.steps.at(-1)
  if (!(hold?.elevation > 5)) return null
  hold.elevation -= times
  return JSON.stringify(plan)
}

for (const file of readdirSync(directory).filter((name) => name.endsWith('.json'))) {
  const plan = readFileSync(join(directory, file), 'utf8')
  const name = basename(file, '.json')
  measure(`wasm ${name}`, plan, scaled)
  if (lowered(plan, 0)) measure(`wasm ${name}; last step`, plan, lowered)
}
