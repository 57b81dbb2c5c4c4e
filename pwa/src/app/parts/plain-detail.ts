import { decimal, ml } from '../format.ts';
import { words } from '../words.ts';

/** 330 ml, 5 % */
export function plainDetail(plain: { volume_ml: number; abv_percent: number | null }): string {
  return `${ml(plain.volume_ml)}, ${plain.abv_percent === null ? words.strengthUnknown : words.percentVol(decimal(plain.abv_percent, 1, 0))}`;
}
