/** Every unit may say what the rooms say, as each room may once it is open. */
import { fetchLater } from '../words.ts';

await fetchLater();
