import type { BrowserContext, ConsoleMessage } from '@playwright/test';

/**
 * Collects what should never be said on a console: errors, warnings, uncaught faults, also breaches of the content security
 * policy. A request that fails because the server is down is not one of them: the browser reports it, the app expects it.
 */
export function watch(context: BrowserContext): string[] {
  const said: string[] = [];
  context.on('console', (message: ConsoleMessage) => {
    const text = message.text();
    if (message.type() !== 'error' && message.type() !== 'warning') return;
    if (
      /net::ERR_(CONNECTION_REFUSED|INTERNET_DISCONNECTED|CONNECTION_RESET|EMPTY_RESPONSE|INCOMPLETE_CHUNKED_ENCODING)/.test(
        text,
      )
    )
      return;
    said.push(`${message.type()}: ${text}`);
  });
  context.on('weberror', (error) => void said.push(`uncaught: ${error.error().message}`));
  return said;
}
