/**
 * Figures of the second source that Siril's tables lack, written from memory (arc-minute accuracy).
 * Row: our id | right ascension, declination in degrees (empty: Siril has it) | visual magnitude (empty: likewise).
 */
export const fromMemory = `
C3|184.175 69.463|9.6
C4||7.0
C9||7.7
C11||10
C14|35.12 57.13|4.3
C19||7.2
C27||7.4
C31||6.0
C33||7.0
C34||7.0
C37||8.1
C41|66.73 15.87|0.5
C49||9.0
C92||3.0
C99|193.25 -63.0|
C100||4.5
C103||8.0
NGC1291||
LMC|80.89 -69.76|0.9
Mel20|51.08 49.86|1.2
Mel111|186.28 26.1|1.8
NGC5189||9.9
NGC2264||3.9
B33|85.246 -2.458|
B68|260.66 -23.83|
B86|270.75 -27.87|
B92|273.87 -18.23|
B142|294.92 10.52|
B143|295.18 10.95|
Cr399|291.35 20.18|3.6
`;
