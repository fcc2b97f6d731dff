// Every example, its hair fallen and held, is glTF 2.0 by the Khronos validator: no error, no warning, nothing it would hint at.
// Both endings take turns; they hold the same (test_export.py). A model with a fault must not pass, or this test could not
// fail. LW_EXAMPLES names the examples where not all are to be tried.
//
// usage: validate.mjs DIRECTORY_WITH_NODE_MODULES LENGTHWISE EXAMPLES
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

const [packages, program, examples] = process.argv.slice(2)
const { validateBytes } = createRequire(join(packages, '/'))('gltf-validator')
const folder = mkdtempSync(join(tmpdir(), 'lengthwise-'))
let faults = 0

async function issues(bytes) {
  const report = await validateBytes(new Uint8Array(bytes), { maxIssues: 20 })
  return report.issues
}

function fault(what) {
  faults += 1
  console.error(what)
}

function exported(plan, ending, hair, colour = 'plain') {
  const file = join(folder, `model.${ending}`)
  execFileSync(program, ['export', plan, '-o', file, '--hair', hair, '--colour', colour, '--detail', 'coarse', '--hairs-count', '300'])
  return readFileSync(file)
}

async function clean(name, bytes) {
  const found = await issues(bytes)
  const count = found.numErrors + found.numWarnings + found.numInfos + found.numHints
  if (count || found.messages.length) fault(`${name}: ${JSON.stringify(found.messages.slice(0, 5))}`)
}

function changed(bytes, from, to) {
  const at = bytes.indexOf(from)
  const copy = Buffer.from(bytes)
  if (at < 0) fault(`no ${from} in the model`)
  else copy.write(to, at)
  return copy
}

try {
  const few = process.env.LW_EXAMPLES?.split(',')
  const plans = readdirSync(examples).filter((name) => name.endsWith('.json') && (few?.includes(name.slice(0, -5)) ?? true)).sort()
  for (const [i, plan] of plans.entries())
    for (const [k, hair] of ['fallen', 'held'].entries()) {
      const ending = ['glb', 'gltf'][(i + k) % 2]
      await clean(`${plan} ${ending} ${hair}`, exported(join(examples, plan), ending, hair))
    }
  for (const ending of ['glb', 'gltf'])
    await clean(`bust ${ending}`, exported(join(examples, plans[0]), ending, 'none'))
  if (plans.length < (few?.length ?? 9)) fault(`only ${plans.length} examples`)

  const odd = JSON.parse(readFileSync(join(examples, 'graduated-bob.json'), 'utf8'))
  odd.title = 'Bob "\\" بوب 短发 \u{1F487}'
  const plan = join(folder, 'odd.json')
  writeFileSync(plan, JSON.stringify(odd))
  const text = exported(plan, 'gltf', 'fallen')
  await clean('odd title', text)
  await clean('in the colours of the length map', exported(plan, 'glb', 'fallen', 'length'))
  if (JSON.parse(text).asset.extras.title !== odd.title) fault('the title does not come back')

  const bytes = exported(plan, 'glb', 'fallen')
  for (const [from, to] of [['"VEC3"', '"VEC2"'], ['"min":[-', '"min":[ '], ['"mode":1', '"mode":9']])
    if (!(await issues(changed(bytes, from, to))).numErrors) fault(`a model with ${to} passes`)
  await clean('the same without a change', bytes)
  console.log(`${plans.length} plans, each in 2 ways; ${faults} faults`)
} finally {
  rmSync(folder, { recursive: true })
}
process.exit(faults ? 1 : 0)
