"""The key that signs heads: one file beside the store, readable by its owner alone. It is never in the store, and never shown."""

import os
import stat
from pathlib import Path
from typing import TYPE_CHECKING

from steadycone.errors import WrongKey
from steadycone.records.own_file import PRIVATE, PRIVATE_FOLDER

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey


def make_key(path: Path) -> "Ed25519PrivateKey":
    """A new key, written to a file that did not exist.

    Raises  WrongKey: the file exists, or can't be written.
    """
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

    key = Ed25519PrivateKey.generate()
    data = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    try:
        path.parent.mkdir(PRIVATE_FOLDER, parents=True, exist_ok=True)
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE), "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except FileExistsError as error:
        raise WrongKey("there is a key already", where=str(path), try_="It is never written over. Move it away first.") from error
    except OSError as error:
        raise WrongKey(
            f"the key can't be written: {error.strerror}", where=str(path), try_="Name another place in STEADYCONE_KEY."
        ) from error
    return key


def load_key(path: Path) -> "Ed25519PrivateKey | None":
    """The key in a file; None where there is no file.

    Raises  WrongKey: others may read the file, or it holds no Ed25519 key.
    """
    from cryptography.exceptions import UnsupportedAlgorithm
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    try:
        if os.name == "posix" and stat.S_IMODE(path.stat().st_mode) & 0o077:
            raise WrongKey("others may read the key", where=str(path), try_=f"chmod 600 {path}")
        key = load_pem_private_key(path.read_bytes(), password=None)
    except FileNotFoundError:
        return None
    except OSError as error:
        raise WrongKey(
            f"the key can't be read: {error.strerror}", where=str(path), try_="Give its owner's rights to this program."
        ) from error
    except (ValueError, TypeError, UnsupportedAlgorithm):
        raise WrongKey("this file holds no key that can be read", where=str(path), try_="Put the key back from where it is kept.") from None
    if not isinstance(key, Ed25519PrivateKey):
        raise WrongKey("this is not an Ed25519 key", where=str(path), try_="Put the key back from where it is kept.")
    return key


def public_hex(key: "Ed25519PrivateKey") -> str:
    return key.public_key().public_bytes_raw().hex()
