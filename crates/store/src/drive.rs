//! On what kind of drive a file lies. A logbook is written on a disk of this computer only: on a network drive neither
//! the log of SQLite nor the lock of the writer is to be trusted (sqlite.org/wal.html, "all processes using a database
//! must be on the same host computer").

use std::path::Path;

/// Names of network file systems as Linux has them, and of folders that another machine shares with this one.
const NETWORK: [&str; 22] = [
    "9p",
    "afs",
    "beegfs",
    "ceph",
    "cifs",
    "coda",
    "davfs",
    "gfs2",
    "glusterfs",
    "gpfs",
    "lustre",
    "ncp",
    "ncpfs",
    "nfs",
    "ocfs2",
    "orangefs",
    "prl_fs",
    "pvfs2",
    "smb",
    "smbfs",
    "vboxsf",
    "vmhgfs",
];

/// The name of the network file system that a file or folder lies on; None for a disk of this computer, and where the
/// system does not tell.
pub fn network(path: &Path) -> Option<String> {
    // A drive letter that stands for a share is resolved to the share.
    let path = std::fs::canonicalize(path).ok()?;
    if let Some(std::path::Component::Prefix(prefix)) = path.components().next()
        && matches!(
            prefix.kind(),
            std::path::Prefix::UNC(..) | std::path::Prefix::VerbatimUNC(..)
        )
    {
        return Some("share".into());
    }
    let kind = mounted(&path)?;
    is_network(&kind).then_some(kind)
}

/// Why a logbook on a network drive is not written, and what to do instead.
pub(crate) fn refusal(kind: &str) -> String {
    format!(
        "it lies on a network drive ({kind}), where two computers can write over each other unseen; copy it to a disk \
         of this computer and open that, and bring copies together by merging"
    )
}

fn is_network(kind: &str) -> bool {
    // `fuse.sshfs`, `nfs4`, `smb3`
    let name = kind.strip_prefix("fuse.").unwrap_or(kind);
    let family = name.trim_end_matches(|c: char| c.is_ascii_digit());
    NETWORK.contains(&name)
        || NETWORK.contains(&family)
        || [
            "sshfs",
            "rclone",
            "davfs2",
            "vmhgfs-fuse",
            "s3fs",
            "smbnetfs",
        ]
        .contains(&name)
}

/// The type of the file system under a path, by its device.
#[cfg(target_os = "linux")]
fn mounted(path: &Path) -> Option<String> {
    use std::os::unix::fs::MetadataExt;
    let device = std::fs::metadata(path).ok()?.dev();
    let mounts = std::fs::read_to_string("/proc/self/mountinfo").ok()?;
    type_of(&mounts, device)
}

#[cfg(not(target_os = "linux"))]
fn mounted(_path: &Path) -> Option<String> {
    None
}

/// The type of the file system of this device in a list of mounts (`proc_pid_mountinfo(5)`: the third word is the
/// device, the word after the dash the type).
#[cfg(any(test, target_os = "linux"))]
fn type_of(mounts: &str, device: u64) -> Option<String> {
    // As glibc's `makedev` packs them.
    let major = (device >> 8 & 0xfff) | (device >> 32 & !0xfff);
    let minor = (device & 0xff) | (device >> 12 & !0xff);
    let wanted = format!("{major}:{minor}");
    let line = mounts
        .lines()
        .find(|line| line.split(' ').nth(2) == Some(&wanted))?;
    let (_, after) = line.split_once(" - ")?;
    after.split(' ').next().map(str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn network_file_systems_are_told_from_disks() {
        for kind in [
            "nfs",
            "nfs4",
            "cifs",
            "smb",
            "smb3",
            "smbfs",
            "9p",
            "fuse.sshfs",
            "fuse.glusterfs",
            "vboxsf",
        ] {
            assert!(is_network(kind), "{kind}");
        }
        for kind in [
            "ext4", "ext2", "xfs", "btrfs", "vfat", "ntfs3", "tmpfs", "overlay", "fuseblk", "zfs",
            "f2fs",
        ] {
            assert!(!is_network(kind), "{kind}");
        }
    }

    #[test]
    fn the_type_is_found_by_the_device() {
        let mounts = "\
36 25 254:0 / / rw,relatime shared:1 - ext4 /dev/vda rw\n\
90 36 0:52 / /srv/shop\\040share rw,relatime shared:9 master:2 - nfs4 server:/export rw,vers=4.2\n\
91 36 0:300 / /mnt rw - 9p host rw\n";
        assert_eq!(type_of(mounts, 254 << 8).as_deref(), Some("ext4"));
        assert_eq!(type_of(mounts, 52).as_deref(), Some("nfs4"));
        assert_eq!(
            type_of(mounts, (0x12c & 0xff) | (0x12c & !0xff) << 12).as_deref(),
            Some("9p")
        );
        assert_eq!(type_of(mounts, 77), None);
    }

    #[test]
    #[cfg(target_os = "linux")]
    fn a_folder_that_every_linux_has_in_memory_is_no_network_drive() {
        assert_eq!(mounted(Path::new("/proc")).as_deref(), Some("proc"));
        assert_eq!(network(Path::new("/proc")), None);
    }
}
