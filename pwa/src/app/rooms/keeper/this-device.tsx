import { useEffect } from 'preact/hooks';
import { Select } from '../../parts/field.tsx';
import { kept } from '../../state.ts';
import { hand, theme } from '../../theme.ts';
import { later } from '../../words.ts';

/** How this device shows the app and whether it keeps what is here: nothing of it is in the journal. */
export function ThisDevice() {
  useEffect(() => {
    // Without asking: only what it has promised already.
    void navigator.storage?.persisted?.().then((yes) => {
      if (yes) kept.value = true;
    });
  }, []);
  const ask = async () => {
    try {
      kept.value = await navigator.storage.persist();
    } catch {
      kept.value = null;
    }
  };
  return (
    <section class="part">
      <h2>{later.keeper.show}</h2>
      <Select
        label={later.keeper.theme}
        value={theme.value}
        onChange={(value) => {
          theme.value = value;
        }}
        options={(['system', 'dark', 'light'] as const).map((key) => [key, later.keeper.themeOption[key] ?? key])}
      />
      <Select
        label={later.keeper.hand}
        value={hand.value}
        onChange={(value) => {
          hand.value = value;
        }}
        options={(['right', 'left'] as const).map((key) => [key, later.keeper.handOption[key] ?? key])}
      />
      <p>
        {kept.value === true
          ? later.keeper.kept.yes
          : kept.value === false
            ? later.keeper.kept.no
            : later.keeper.kept.unknown}
      </p>
      {kept.value !== true && (
        <div class="btns">
          <button type="button" class="btn" onClick={() => void ask()}>
            {later.keeper.askKeep}
          </button>
        </div>
      )}
    </section>
  );
}
