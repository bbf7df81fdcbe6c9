using System.Buffers.Binary;
using System.Runtime.InteropServices;
using System.Text;
using Microsoft.Win32.SafeHandles;

namespace VibeCheck.Reports.Files;

/// <summary>Identity, kind and owner of a file from the system; .NET gives neither the identity nor the owner.</summary>
/// <param name="Device">Number of the disk.</param>
/// <param name="Index">Number of the file on its disk.</param>
/// <param name="Kind">What it is.</param>
/// <param name="User">Number of the owner; 0 on Windows.</param>
/// <param name="Group">Number of the owning group; 0 on Windows.</param>
internal sealed record FileStatus(ulong Device, ulong Index, FilePlaceKind Kind, uint User, uint Group)
{
    private const int TypeMask = 0xF000,
        TypeFolder = 0x4000,
        TypeFile = 0x8000;

    internal bool IsSameFileAs(FileStatus other) => Device == other.Device && Index == other.Index;

    /// <summary>The status of a file, links followed; null where there is no file or the system does not give it.</summary>
    internal static FileStatus? Of(string path)
    {
        try
        {
            return OperatingSystem.IsLinux() ? OfLinux(path)
                : OperatingSystem.IsMacOS() ? OfMac(path)
                : OperatingSystem.IsWindows() ? OfWindows(path)
                : null;
        }
        catch (Exception e) when (e is DllNotFoundException or EntryPointNotFoundException or IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    /// <summary>Changes owner and group of a file; false where this user may not do so. <c>uint.MaxValue</c> keeps the present
    /// one.</summary>
    internal static bool TryGive(string path, uint user, uint group)
    {
        try
        {
            return Native.Chown(Text(path), user, group) == 0;
        }
        catch (Exception e) when (e is DllNotFoundException or EntryPointNotFoundException)
        {
            return false;
        }
    }

    private static FilePlaceKind KindOf(int mode) =>
        (mode & TypeMask) switch
        {
            TypeFile => FilePlaceKind.File,
            TypeFolder => FilePlaceKind.Folder,
            _ => FilePlaceKind.Stream,
        };

    // struct statx of Linux, the same on all processors: man page statx(2) and linux/stat.h.
    private static FileStatus? OfLinux(string path)
    {
        const int CurrentFolder = -100,
            BasicStatus = 0x7ff;
        byte[] buffer = new byte[256];
        return Native.Statx(CurrentFolder, Text(path), 0, BasicStatus, buffer) != 0
            ? null
            : new(
                (ulong)U32(buffer, 136) << 32 | U32(buffer, 140),
                BinaryPrimitives.ReadUInt64LittleEndian(buffer.AsSpan(32)),
                KindOf(BinaryPrimitives.ReadUInt16LittleEndian(buffer.AsSpan(28))),
                U32(buffer, 20),
                U32(buffer, 24)
            );
    }

    // struct stat with 64-bit inode of macOS, from memory of sys/stat.h: dev, mode, nlink, ino, uid, gid come first. Not tested on macOS.
    private static FileStatus? OfMac(string path)
    {
        byte[] buffer = new byte[256];
        int failed =
            RuntimeInformation.ProcessArchitecture == Architecture.X64
                ? Native.Stat64(Text(path), buffer)
                : Native.Stat(Text(path), buffer);
        return failed != 0
            ? null
            : new(
                U32(buffer, 0),
                BinaryPrimitives.ReadUInt64LittleEndian(buffer.AsSpan(8)),
                KindOf(BinaryPrimitives.ReadUInt16LittleEndian(buffer.AsSpan(4))),
                U32(buffer, 16),
                U32(buffer, 20)
            );
    }

    // BY_HANDLE_FILE_INFORMATION of Windows.
    private static FileStatus? OfWindows(string path)
    {
        if (!File.Exists(path) || path.StartsWith(@"\\.\", StringComparison.Ordinal))
        {
            return null;
        }

        byte[] buffer = new byte[64];
        using SafeFileHandle handle = File.OpenHandle(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
        return !Native.GetFileInformationByHandle(handle, buffer)
            ? null
            : new(U32(buffer, 28), (ulong)U32(buffer, 44) << 32 | U32(buffer, 48), FilePlaceKind.File, 0, 0);
    }

    private static byte[] Text(string path) => Encoding.UTF8.GetBytes(path + '\0');

    private static uint U32(byte[] buffer, int at) => BinaryPrimitives.ReadUInt32LittleEndian(buffer.AsSpan(at));

#pragma warning disable SYSLIB1054 // The generated form needs unsafe code in the whole assembly, for calls that are made once per file.
    private static class Native
    {
        [DllImport("libc", EntryPoint = "statx")]
        [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
        internal static extern int Statx(int folder, byte[] path, int flags, uint mask, [Out] byte[] status);

        [DllImport("libc", EntryPoint = "stat")]
        [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
        internal static extern int Stat(byte[] path, [Out] byte[] status);

        [DllImport("libc", EntryPoint = "stat$INODE64")]
        [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
        internal static extern int Stat64(byte[] path, [Out] byte[] status);

        [DllImport("libc", EntryPoint = "chown")]
        [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
        internal static extern int Chown(byte[] path, uint user, uint group);

        [DllImport("kernel32", SetLastError = true)]
        [DefaultDllImportSearchPaths(DllImportSearchPath.System32)]
        [return: MarshalAs(UnmanagedType.Bool)]
        internal static extern bool GetFileInformationByHandle(SafeFileHandle file, [Out] byte[] status);
    }
#pragma warning restore SYSLIB1054
}
