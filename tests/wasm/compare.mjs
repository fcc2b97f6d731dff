// The page and the command line run the same C: every hair of a plan must come out the same from both.
//
// usage: node compare.mjs MODULE PROGRAM DIRECTORY
//
// Tries every plan in the directory. Roots and lengths are the same to the bit: the arithmetic is the same, in the same
// order, and core has its own elementary functions.
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import { load, predict, string, view } from './module.mjs'

const [moduleFile, program, directory] = process.argv.slice(2)
const plans = readdirSync(directory).filter((name) => name.endsWith('.json')).map((name) => join(directory, name))
let faults = 0

function fault(text) {
  faults++
  console.log(text)
}

async function check(file) {
  const module = await WebAssembly.compile(readFileSync(file))
  const imports = WebAssembly.Module.imports(module).map(({ module: from, name }) => `${from}.${name}`)
  for (const name of imports) if (name !== 'page.goes_on') fault(`the module imports ${name}`)
}

function fromModule(api, page, file) {
  if (predict(api, page, readFileSync(file)) !== 0) throw new Error(`${file}: ${string(api, api.page_error(page))}`)
  const n = api.page_hairs(page)
  const roots = view(api, Float64Array, api.page_roots(page), 3 * n)
  const lengths = view(api, Float64Array, api.page_lengths(page), n)
  const sections = view(api, Int16Array, api.page_sections(page), n)
  const setBy = view(api, Int32Array, api.page_set_by(page), n)
  const columns = api.page_panel_columns()
  const panels = view(api, Float64Array, api.page_panels(page), api.page_panel_count(page) * columns)
  const names = Array.from({ length: api.page_section_count(page) }, (_, i) => string(api, api.page_section_name(page, i)))
  return Array.from({ length: n }, (_, i) => ({
    x: roots[3 * i],
    y: roots[3 * i + 1],
    z: roots[3 * i + 2],
    length: lengths[i],
    section: names[sections[i]] ?? '',
    step: setBy[i] < 0 ? '' : String(panels[setBy[i] * columns]),
    panel: setBy[i] < 0 ? '' : String(panels[setBy[i] * columns + 1]),
  }))
}

// A comma inside quotes belongs to the cell.
function cells(line) {
  return [...line.matchAll(/(?:^|,)(?:"((?:[^"]|"")*)"|([^,]*))/g)].map(([, quoted, plain]) =>
    quoted === undefined ? plain : quoted.replaceAll('""', '"'))
}

function fromProgram(file) {
  const directory = mkdtempSync(join(tmpdir(), 'lengthwise-'))
  try {
    const csv = join(directory, 'hairs.csv')
    execFileSync(program, ['predict', file, '--hairs', csv], { stdio: ['ignore', 'ignore', 'inherit'] })
    const [head, ...rows] = readFileSync(csv, 'utf8').trimEnd().split('\n').map(cells)
    return rows.map((row) => Object.fromEntries(head.map((name, i) => [name, row[i]])))
  } finally {
    rmSync(directory, { recursive: true })
  }
}

function compare(api, page, file) {
  const ours = fromModule(api, page, file)
  const theirs = fromProgram(file)
  if (ours.length !== theirs.length) return fault(`${file}: ${ours.length} hairs from the module, ${theirs.length} from the program`)
  if (ours.length === 0) return fault(`${file}: no hairs to compare`)
  let cut = 0
  for (const [i, hair] of ours.entries()) {
    for (const key of ['x', 'y', 'z', 'length']) {
      if (hair[key] !== Number.parseFloat(theirs[i][key])) fault(`${file}: hair ${i}: ${key} ${hair[key]} from the module, ${theirs[i][key]} from the program`)
    }
    for (const key of ['section', 'step', 'panel'])
      if (hair[key] !== theirs[i][key]) fault(`${file}: hair ${i}: ${key} "${hair[key]}" from the module, "${theirs[i][key]}" from the program`)
    cut += hair.step !== ''
    if (faults > 20) return
  }
  if (cut === 0) fault(`${file}: no hair is cut, so nothing was tried`)
  console.log(`${basename(file)}: ${ours.length} hairs, ${cut} of them cut; all the same`)
}

// What the page is told about a plan that is none, and that the same handle then works again.
function refuses(api, page) {
  if (predict(api, page, '{\n  "format": ') === 0) fault('half a plan was accepted')
  if (string(api, api.page_error(page)) === '') fault('half a plan was refused without a word')
  if (api.page_error_line(page) < 1) fault('half a plan was refused without a line')
  if (api.page_hairs(page) !== 0 || api.page_panel_count(page) !== 0) fault('half a plan left hairs or panels')
}

await check(moduleFile)
const api = await load(moduleFile)
const page = api.page_new()
if (plans.length === 0) fault('no plan to compare')
refuses(api, page)
for (const plan of plans) compare(api, page, plan)
api.page_free(page)
if (faults > 0) console.log(`${faults} faults`)
process.exitCode = faults > 0 ? 1 : 0
