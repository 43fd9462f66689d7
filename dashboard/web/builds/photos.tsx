import { useSignal } from '@preact/signals';
import type { ApiBuild, ApiError, MadeBody } from '../../server/api.js';
import { postBytes, troubleOf } from '../api.js';
import { Trouble } from '../pieces/trouble.js';
import { throwAway } from './keeping.js';
import { smallerPhoto } from './smaller-photo.js';

/** A build's photos, and a way to add one. */
export function Photos({ build }: { readonly build: ApiBuild }) {
  const caption = useSignal('');
  const trouble = useSignal<ApiError | null>(null);
  const isSending = useSignal(false);
  const add = async (file: File | undefined) => {
    if (!file) return;
    isSending.value = true;
    trouble.value = null;
    try {
      const query = new URLSearchParams({ name: file.name, caption: caption.value });
      await postBytes<MadeBody>(`/api/builds/${build.id}/photos?${query}`, await smallerPhoto(file));
      caption.value = '';
    } catch (thrown) {
      trouble.value = troubleOf(thrown);
    }
    isSending.value = false;
  };
  return (
    <section class="photos" aria-label={`Photos of ${build.name}`}>
      {build.photos.length > 0 && (
        <ul>
          {build.photos.map(({ id, caption: words, width_px, height_px }) => (
            <li key={id}>
              <figure>
                <a href={`/api/photos/${id}`} target="_blank" rel="noreferrer">
                  <img
                    src={`/api/photos/${id}`}
                    alt={words || `Photo ${id} of ${build.name}`}
                    width={width_px}
                    height={height_px}
                    loading="lazy"
                  />
                </a>
                <figcaption>
                  <span>{words}</span>
                  <button
                    type="button"
                    class="quiet"
                    aria-label={`Move photo ${words || id} to the bin`}
                    onClick={() => void throwAway({ kind: 'photo', item: String(id) })}
                  >
                    To the bin
                  </button>
                </figcaption>
              </figure>
            </li>
          ))}
        </ul>
      )}
      <div class="add-photo">
        <label class="field">
          <span>What the next photo shows</span>
          <input
            type="text"
            maxLength={200}
            value={caption.value}
            onInput={(event) => (caption.value = event.currentTarget.value)}
          />
        </label>
        <label class="file-button">
          <input
            type="file"
            accept="image/jpeg,image/png,image/webp"
            disabled={isSending.value}
            onChange={(event) => {
              void add(event.currentTarget.files?.[0]);
              event.currentTarget.value = '';
            }}
          />
          <span>{isSending.value ? 'Adding the photo …' : 'Add a photo'}</span>
        </label>
      </div>
      {trouble.value && <Trouble error={trouble.value} />}
    </section>
  );
}
