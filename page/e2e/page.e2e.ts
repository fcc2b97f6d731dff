// The frame of the page: paper, the first walk, keys, sizes, light and dark, and what axe-core finds.
import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { describe, expect, it } from 'vitest'
import { sit } from './here'
import { type Person, type Sitting } from './person'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

// What axe-core finds against WCAG 2.2 AA, as sentences. It comes in as a debugger does, since the page's policy lets no script in.
async function findings(page: Person['page']): Promise<string[]> {
  await page.evaluate(axe)
  return page.evaluate(async () => {
    type Axe = { run(of: Document, how: object): Promise<{ violations: { id: string; help: string; nodes: { target: string[]; failureSummary: string }[] }[] }> }
    const found = await (window as unknown as { axe: Axe }).axe.run(document, {
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    })
    return found.violations.flatMap(({ id, help, nodes }) => nodes.map(({ target, failureSummary }) => `${id}: ${help} (${target.join(' ')}) ${failureSummary}`))
  })
}

describe('paper', () => {
  it('makes a sheet, a worksheet and its key on A4 and Letter', async () => {
    const { page, shot } = await sit({ draws: false })
    await page.getByRole('button', { name: 'On paper' }).click()
    for (const paper of ['A4', 'Letter'])
      for (const kind of ['Cutting sheet', 'Worksheet', 'Key']) {
        await page.getByRole('radio', { name: new RegExp(`^${kind}`) }).check()
        await page.getByRole('radio', { name: new RegExp(`^${paper}`) }).check()
        await page.getByRole('button', { name: 'Make the sheet' }).click()
        const save = page.getByRole('link', { name: /Save as/ })
        await save.waitFor()
        const [download] = await Promise.all([page.waitForEvent('download'), save.click()])
        expect(download.suggestedFilename()).toMatch(/^graduated-bob.*\.pdf$/)
        const told = execFileSync('pdfinfo', [await download.path()], { encoding: 'utf8' })
        expect(told).toMatch(paper === 'A4' ? /Page size:.*A4/ : /Page size: +612 x 792 pts/)
      }
    await shot('paper')
  })
})

describe('the first time', () => {
  it('walks round in five notes, by keyboard, once', async () => {
    const { page, shot } = await sit({ walked: false, draws: false })
    const note = page.locator('.walk')
    await note.waitFor()
    for (let n = 1; n <= 5; n++) {
      await page.getByText(`${n} of 5`).waitFor()
      await shot(`walk-${n}`)
      await page.keyboard.press('Tab')
      const box = await note.boundingBox()
      expect(box && box.x >= 0 && box.y >= 0 && box.x + box.width <= 1440 && box.y + box.height <= 900).toBe(true)
      await note.getByRole('button').last().press('Enter')
    }
    await note.waitFor({ state: 'hidden' })
    await page.reload()
    await page.waitForSelector('.rooms[data-ready]')
    expect(await note.isHidden()).toBe(true)
  })
})

describe('to everybody', () => {
  const looks: readonly Sitting[] = [
    { width: 768, height: 1024 },
    { width: 1280, height: 800 },
    { width: 1280, height: 800, dark: true },
    { width: 2560, height: 1440 },
  ]
  for (const look of looks)
    it(`is accessible at ${look.width} px${look.dark ? ', dark' : ''}: axe-core finds nothing, nothing sticks out`, async () => {
      const { page, shot } = await sit({ ...look, draws: false })
      await shot(`page-${look.width}${look.dark ? '-dark' : ''}`)
      expect(await findings(page)).toEqual([])
      for (const tab of ['Measures', 'What it leaves']) {
        const button = page.getByRole('tab', { name: tab })
        if (!(await button.isVisible())) continue
        await button.click()
        await shot(`page-${look.width}${look.dark ? '-dark' : ''}-${tab.toLowerCase().replaceAll(' ', '-')}`)
        expect(await findings(page)).toEqual([])
      }
      for (const name of ['On paper', 'The book']) {
        await page.getByRole('button', { name }).click()
        await page.getByRole('dialog', { name }).waitFor()
        await shot(`dialog-${look.width}${look.dark ? '-dark' : ''}-${name.toLowerCase().replaceAll(' ', '-')}`)
        expect(await findings(page)).toEqual([])
        await page.keyboard.press('Escape')
      }
      expect(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth)).toBe(true)
    })

  it('is light or dark as the device is, until somebody chooses', async () => {
    const { page } = await sit({ dark: true, draws: false })
    const ground = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor)
    const dark = await ground()
    await page.getByLabel('Light or dark').selectOption('light')
    const light = await ground()
    expect(light).not.toBe(dark)
    await page.reload()
    await page.waitForSelector('.rooms[data-ready]')
    expect(await ground()).toBe(light)
  })

  it('undoes by keys, but not while somebody types', async () => {
    const { page } = await sit({ draws: false })
    const heading = page.locator('.bar h1')
    const before = await heading.innerText()
    await page.getByLabel('title', { exact: true }).fill('Typed')
    await page.getByLabel('title', { exact: true }).blur()
    expect(await heading.innerText()).toBe('Typed')
    await page.locator('body').press('Control+z')
    expect(await heading.innerText()).toBe(before)
    await page.locator('body').press('Control+Shift+z')
    expect(await heading.innerText()).toBe('Typed')
  })

  it('keeps a button readable that the mouse is on', async () => {
    const { page } = await sit({ draws: false })
    const book = page.getByRole('button', { name: 'The book' })
    const ground = (): Promise<string> => book.evaluate((button) => getComputedStyle(button).backgroundColor)
    const before = await ground()
    await book.hover()
    expect(await book.evaluate((button) => button.matches(':hover'))).toBe(true)
    expect(await ground()).toBe(before)
  })

  it('stands apart from other origins, without which its workers share no memory and hair that falls is not stopped at once', async () => {
    const { page } = await sit({ draws: false })
    expect(await page.evaluate(() => self.crossOriginIsolated && typeof SharedArrayBuffer)).toBe('function')
  })

  it('asks nobody else for anything', async () => {
    const { page, server } = await sit({ draws: false })
    const asked: string[] = []
    page.on('request', (request) => asked.push(request.url()))
    await page.reload()
    await page.waitForSelector('.rooms[data-ready]')
    expect(asked.length).toBeGreaterThan(3)
    expect(asked.filter((url) => !url.startsWith(server.origin) && !url.startsWith('blob:' + server.origin))).toEqual([])
  })
})
