import { useSignal } from '@preact/signals';
import type { ApiBuild, ApiError, ApiPhoto, MadeBody } from '../../server/api.js';
import { postBytes, troubleOf } from '../api.js';
import { TextField } from '../pieces/text-field.js';
import { Trouble } from '../pieces/trouble.js';
import { throwAway } from './keeping.js';
import { smallerPhoto } from './smaller-photo.js';
import { useEdited } from './use-edited.js';

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
          {build.photos.map((photo) => (
            <li key={photo.id}>
              <figure>
                <a href={`/api/photos/${photo.id}`} target="_blank" rel="noreferrer">
                  <img
                    src={`/api/photos/${photo.id}`}
                    alt={photo.caption || `Photo ${photo.id} of ${build.name}`}
                    width={photo.width_px}
                    height={photo.height_px}
                    loading="lazy"
                  />
                </a>
                <figcaption>
                  <Caption photo={photo} />
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

/** What a photo shows, the way to say it anew, and the way to the bin. */
function Caption({ photo: { id, caption } }: { readonly photo: ApiPhoto }) {
  const { edited, trouble, opener, form, send } = useEdited<string>(`/api/photos/${id}`, (words) => ({
    caption: words,
  }));
  if (edited.value === null)
    return (
      <>
        <span>{caption}</span>
        <span class="photo-buttons">
          <button
            ref={opener}
            type="button"
            class="quiet"
            aria-label={`Say anew what photo ${caption || id} shows`}
            onClick={() => (edited.value = caption)}
          >
            Say anew
          </button>
          <button
            type="button"
            class="quiet"
            aria-label={`Move photo ${caption || id} to the bin`}
            onClick={() => void throwAway({ kind: 'photo', item: String(id) })}
          >
            To the bin
          </button>
        </span>
      </>
    );
  return (
    <form ref={form} onSubmit={send}>
      <TextField
        label="What it shows"
        length={200}
        value={edited.value}
        onInput={(words) => (edited.value = words)}
      />
      {trouble && <Trouble error={trouble} />}
      <div class="buttons">
        <button type="submit">Keep it</button>
        <button type="button" class="quiet" onClick={() => (edited.value = null)}>
          Never mind
        </button>
      </div>
    </form>
  );
}
