using System.Buffers.Binary;
using System.IO.Compression;

namespace VibeCheck.Logs.Text;

/// <summary>Decompresses a gz file and checks that it is complete: a truncated file ends in an <see cref="EndOfStreamException"/>, not
/// without notice.</summary>
/// <remarks>
/// The framework takes the end of a truncated file for the end of the data. A complete member ends with the length of its content, modulo
/// 2³² (RFC 1952, section 2.3.1), which is compared. A file of several members fails that comparison, as a truncated one does. It is then
/// decompressed once more with a member of known length appended, which is reached only if the file is complete.
/// </remarks>
internal sealed class PackedStream(FileStream file) : ForwardStream
{
    private readonly GZipStream _unpacked = new(file, CompressionMode.Decompress, leaveOpen: true);
    private long _length;
    private bool _checked;

    public override int Read(Span<byte> buffer)
    {
        int got = _unpacked.Read(buffer);
        _length += got;
        if (got == 0 && buffer.Length > 0 && !_checked)
        {
            _checked = true;
            if (!LengthAgrees() && !IsWhole())
            {
                throw new EndOfStreamException("the packed data end too early");
            }
        }

        return got;
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _unpacked.Dispose();
        }

        base.Dispose(disposing);
    }

    private bool LengthAgrees()
    {
        Span<byte> end = stackalloc byte[4];
        return file.Length >= 18
            && RandomAccess.Read(file.SafeFileHandle, end, file.Length - 4) == 4
            && BinaryPrimitives.ReadUInt32LittleEndian(end) == (uint)_length;
    }

    private bool IsWhole()
    {
        byte[] probe = [.. Enumerable.Range(0, 64).Select(i => (byte)i)];
        using var packedProbe = new MemoryStream();
        using (var pack = new GZipStream(packedProbe, CompressionLevel.NoCompression, leaveOpen: true))
        {
            pack.Write(probe);
        }

        file.Position = 0;
        using var again = new GZipStream(new FollowedStream(file, packedProbe.ToArray()), CompressionMode.Decompress);
        byte[] buffer = new byte[1 << 16];
        long length = 0;
        try
        {
            for (int got; (got = again.Read(buffer)) > 0; )
            {
                length += got;
            }
        }
        catch (InvalidDataException)
        {
            return false;
        }

        return length == _length + probe.Length;
    }

    /// <summary>A stream with some bytes appended.</summary>
    private sealed class FollowedStream(Stream first, byte[] then) : ForwardStream
    {
        private int _at;

        public override int Read(Span<byte> buffer)
        {
            int got = first.Read(buffer);
            if (got == 0)
            {
                got = Math.Min(buffer.Length, then.Length - _at);
                then.AsSpan(_at, got).CopyTo(buffer);
                _at += got;
            }

            return got;
        }
    }
}
