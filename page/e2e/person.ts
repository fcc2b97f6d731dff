// Somebody who sits down at the page: starts the program, opens the browser, and goes when done.
//
//   LW_PROGRAM  the program to serve with
//   LW_SHOTS    a directory for screenshots; none are taken without it
import { spawn, type ChildProcess } from 'node:child_process'
import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chromium, type Browser, type BrowserContext, type Locator, type Page } from 'playwright-core'

export interface Server {
  readonly link: string // with the secret of this run
  readonly origin: string
  readonly book: string
  kill(): Promise<void> // at once, as a power cut would
  stop(): Promise<void> // as Ctrl-C does; fails where it did not go cleanly
}

const PROGRAM = process.env['LW_PROGRAM'] ?? ''
const SHOTS = process.env['LW_SHOTS']
const PATIENCE = 120_000 // milliseconds that something may take on a machine that is busy elsewhere

function ended(child: ChildProcess): Promise<number | null> {
  return child.exitCode !== null || child.signalCode !== null ? Promise.resolve(child.exitCode) : new Promise((resolve) => child.once('exit', (code) => resolve(code)))
}

export async function serve(book?: string, port?: string): Promise<Server> {
  const drawer = book ? null : mkdtempSync(join(tmpdir(), 'lengthwise-'))
  const file = book ?? join(drawer as string, 'book.sqlite')
  const child = spawn(PROGRAM, ['serve', '--no-open', '--book', file, ...(port ? ['--port', port] : [])], { stdio: ['ignore', 'pipe', 'pipe'] })
  const link = await new Promise<string>((resolve, reject) => {
    let said = ''
    const hear = (bytes: Buffer): void => {
      said += bytes.toString()
      const found = /http:\/\/\S+/.exec(said)
      if (found && said.includes('\n', found.index)) resolve(found[0])
    }
    child.stdout.on('data', hear)
    child.stderr.on('data', hear)
    child.once('exit', (code) => reject(new Error(`${PROGRAM} ended with ${code}: ${said}`)))
  })
  const clear = (): void => {
    if (drawer) rmSync(drawer, { recursive: true, force: true })
  }
  return {
    link,
    origin: new URL(link).origin,
    book: file,
    async kill() {
      child.kill('SIGKILL')
      await ended(child)
    },
    async stop() {
      child.kill('SIGINT')
      const code = await ended(child)
      clear()
      if (code !== 0 && child.signalCode !== 'SIGKILL') throw new Error(`the server ended with ${code}`)
    },
  }
}

export interface Person {
  readonly server: Server
  readonly context: BrowserContext
  readonly page: Page
  readonly faults: string[] // what the browser complained of
  shot(name: string): Promise<void>
  leave(): Promise<void>
}

export interface Sitting {
  readonly width?: number
  readonly height?: number
  readonly dark?: boolean
  readonly still?: boolean // asks for reduced motion
  readonly walked?: boolean // false: the first time here
  readonly touch?: boolean // on a screen that takes fingers
  readonly draws?: boolean // false: the head is not drawn, which takes most of the time on a machine without a graphics processor
  readonly server?: Server
  readonly browser?: Browser
}

// Where the head is not drawn, neither is the page by a graphics processor that is played in software: it takes up to a second
// the first time that something looks new.
export function launch(draws = true): Promise<Browser> {
  const executablePath = ['/usr/bin/chromium', '/usr/bin/chromium-browser'].find(existsSync)
  if (!executablePath) throw new Error('Chromium is not installed')
  return chromium.launch({ executablePath, args: ['--no-sandbox', '--enable-unsafe-swiftshader', '--use-angle=swiftshader', ...(draws ? [] : ['--disable-gpu-compositing'])] })
}

export const lookForFaults = (page: Page, faults: string[]): void => {
  page.on('pageerror', (error) => faults.push(error.message))
  page.on('console', (message) => {
    // The browser logs every answer that is no success; those are tested by what the page makes of them.
    if (message.type() === 'error' && !message.text().startsWith('Failed to load resource')) faults.push(message.text())
  })
}

export async function sit(how: Sitting = {}): Promise<Person> {
  const server = how.server ?? (await serve())
  const browser = how.browser ?? (await launch(how.draws !== false || SHOTS !== undefined))
  const context = await browser.newContext({
    viewport: { width: how.width ?? 1440, height: how.height ?? 900 },
    colorScheme: how.dark ? 'dark' : 'light',
    reducedMotion: how.still === false ? 'no-preference' : 'reduce',
    acceptDownloads: true,
    hasTouch: how.touch ?? false,
  })
  context.setDefaultTimeout(PATIENCE)
  if (how.walked !== false) await context.addInitScript(() => localStorage.setItem('lengthwise.walked', 'yes'))
  if (how.draws === false && !SHOTS)
    await context.addInitScript(() => {
      const gl = WebGL2RenderingContext.prototype
      for (const draw of ['drawArrays', 'drawArraysInstanced', 'drawElements', 'drawElementsInstanced', 'drawRangeElements', 'clear', 'clearBufferfv', 'clearBufferiv', 'clearBufferuiv', 'clearBufferfi', 'blitFramebuffer', 'generateMipmap'] as const) gl[draw] = () => undefined
    })
  const page = await context.newPage()
  const faults: string[] = []
  lookForFaults(page, faults)
  await page.goto(server.link)
  await ready(page)
  return {
    server,
    context,
    page,
    faults,
    async shot(name) {
      if (!SHOTS) return
      mkdirSync(SHOTS, { recursive: true })
      await page.screenshot({ path: join(SHOTS, `${name}.png`) })
    },
    async leave() {
      await context.close()
      if (!how.browser) await browser.close()
      if (!how.server) await server.stop()
    },
  }
}

// Until the first cut has been worked out and drawn.
export const ready = (page: Page): Promise<unknown> => page.waitForSelector('.rooms[data-ready]', { timeout: 60_000 })

type At = Person['page']

export const canvas = (page: At): Locator => page.locator('.head canvas').first()
export const steps = (page: At): Locator => page.locator('.steps > .step')
export const figure = (page: At, step: number, says: string): Locator => steps(page).nth(step).locator('.figure', { hasText: says })
export const undo = (page: At): Promise<void> => page.getByRole('button', { name: 'Undo', exact: true }).click()

// What the core made of the plan, as the page's own timing tells: waits for another result.
export async function another(page: At, work: () => Promise<unknown>): Promise<void> {
  const before = await page.evaluate(() => performance.getEntriesByName('lengths').length)
  await work()
  await page.waitForFunction((n) => performance.getEntriesByName('lengths').length > n, before)
}

// Where something stands once it stands still: choosing a step turns the head to it, and what is drawn over the head follows when
// the next picture is begun. `within` narrows it down by the beginning of its text: labels change places as the head turns.
export function standing(page: At, what: string, within = ''): Promise<{ x: number; y: number }> {
  return page.evaluate(
    ([selector, text]) =>
      new Promise<{ x: number; y: number }>((resolve) => {
        const { stats } = document.querySelector('.head canvas') as unknown as { stats: { draw: number } }
        let last = ''
        let since = performance.now()
        const look = (): void => {
          const all = [...document.querySelectorAll(selector)]
          const element = text ? all.find((one) => (one.parentElement?.textContent ?? '').trim().startsWith(text)) : all[0]
          const box = element?.getBoundingClientRect()
          const now = box ? `${box.x} ${box.y}` : ''
          if (now !== last) {
            last = now
            since = performance.now()
          }
          if (box && performance.now() - since > 600 + 3 * stats.draw) resolve({ x: box.x + box.width / 2, y: box.y + box.height / 2 })
          else requestAnimationFrame(look)
        }
        look()
      }),
    [what, within] as const,
  )
}

// A drag by real pointer events; `before` it is let go something may be looked at.
export async function drag(page: At, from: { x: number; y: number }, to: { x: number; y: number }, before?: () => Promise<unknown>): Promise<void> {
  await page.mouse.move(from.x, from.y)
  await page.mouse.down()
  for (let i = 1; i <= 10; i++) await page.mouse.move(from.x + ((to.x - from.x) * i) / 10, from.y + ((to.y - from.y) * i) / 10)
  await before?.()
  await page.mouse.up()
}

// Opens the finished plan of that name.
export async function openExample(page: At, title: RegExp): Promise<void> {
  await page.getByRole('button', { name: 'The book' }).click()
  const from = page.getByLabel('New plan from')
  const name = (await from.locator('option').allInnerTexts()).find((one) => title.test(one))
  await another(page, () => from.selectOption(name ?? ''))
  await page.locator('.bar h1', { hasText: title }).waitFor()
}

// Where a landmark stands on the screen, with the landmarks shown.
export const landmark = (page: At, name: string): Promise<{ x: number; y: number }> => standing(page, '.head .landmark .dot', name)
