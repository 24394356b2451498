// Lengths as a person reads them: whole or tenths of a millimetre, or inches with a fraction in lowest terms.

/** "740 mm", or "29 1/8 in" where an inch is divided into `parts`; `tenths` keeps a tenth of a millimetre. */
export function lengthWords(mm, parts = 0, { tenths = false, unit = true } = {}) {
  if (!parts) return `${tenths ? Math.round(mm * 10) / 10 : Math.round(mm)}${unit ? " mm" : ""}`;
  let under = parts;
  let over = Math.round((Math.abs(mm) / 25.4) * under);
  if (over < 2 && mm) {
    under = 64;
    over = Math.round((Math.abs(mm) / 25.4) * under);
  }
  const whole = Math.floor(over / under);
  over -= whole * under;
  while (over && over % 2 === 0) [over, under] = [over / 2, under / 2];
  const words = [whole || !over ? String(whole) : "", over ? `${over}/${under}` : ""].filter(Boolean).join(" ");
  return `${mm < 0 ? "-" : ""}${words}${unit ? " in" : ""}`;
}
