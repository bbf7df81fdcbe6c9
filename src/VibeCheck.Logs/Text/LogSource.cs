using System.Buffers;
using System.Security.Cryptography;
using System.Text;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Text;

/// <summary>A log file as a stream of UTF-8 (or Latin-1) bytes, decompressed and without byte order mark.</summary>
internal sealed class LogSource : IDisposable
{
    private readonly Stream _stream;
    private readonly Stream _file;
    private readonly long _fileLength;

    // Compression makes a real log 3 to 10 times smaller, and one with many constant columns about 50 times. A small file that expands by
    // more than this factor is not read: at a factor of 300, 7 MB took 4.5 GB of memory and 41 s.
    private const long MostUnpackedFactor = 100;
    private const long AlwaysUnpacked = 256L << 20;

    // Lines are counted in advance in files up to this size, bytes. A larger file might not stay in the system's cache, and would be read
    // from disk twice.
    private const long MostCounted = 2L << 30;
    private readonly IncrementalHash _hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
    private long _unpacked;

    private LogSource(string path, Stream file, Stream stream, bool packed, string encoding)
    {
        Path = path;
        _file = file;
        _stream = stream;
        _fileLength = file.Length;
        Packed = packed;
        Encoding = encoding;
    }

    internal string Path { get; }

    /// <summary>Length of the file on disk, bytes.</summary>
    internal long FileBytes => _fileLength;

    internal bool Packed { get; }

    /// <summary>Encoding by byte order mark or pattern: UTF-8, UTF-16.</summary>
    internal string Encoding { get; }

    /// <summary>Share of the file that has been read, 0 to 1.</summary>
    internal double Progress => _fileLength == 0 ? 1 : Math.Clamp((double)_file.Position / _fileLength, 0, 1);

    internal static LogSource Open(string path)
    {
        FileStream? file = null;
        try
        {
            file = OpenFile(path);
            if (!file.CanSeek)
            {
                throw Fault(path, "this is a pipe or a device, and a log is read more than once", "Save it to a file and name that.");
            }

            if (file.Length == 0)
            {
                throw Fault(path, "the file is empty", "Export the log again.");
            }

            Span<byte> start = stackalloc byte[4];
            int got = file.ReadAtLeast(start, 4, throwOnEndOfStream: false);
            file.Position = 0;
            bool packed = got >= 2 && start[0] == 0x1f && start[1] == 0x8b;
            if (got == 4 && start[0] == 'P' && start[1] == 'K' && start[2] == 3)
            {
                throw Fault(path, "this is a zip archive or a spreadsheet, not CSV text", "Unpack it, or save the sheet as CSV.");
            }

            Stream inner = packed ? new PackedStream(file) : file;
            return Decode(path, file, inner, packed);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            file?.Dispose();
            throw Fault(path, "the file could not be read", "Check that it is a log; copy or export it again.");
        }
        catch
        {
            file?.Dispose();
            throw;
        }
    }

    /// <summary>Fills as much of the buffer as the file can still provide; returns 0 at its end.</summary>
    /// <exception cref="InputFaultException">The compressed data are damaged or expand without limit, or the file cannot be
    /// read.</exception>
    internal int Read(Span<byte> buffer)
    {
        int got;
        try
        {
            got = _stream.ReadAtLeast(buffer, buffer.Length, throwOnEndOfStream: false);
        }
        catch (Exception e) when (e is InvalidDataException or IOException)
        {
            throw Packed ? PackedFault(Path, e) : Fault(Path, "the file could not be read to its end", "Copy or export it again.");
        }

        _unpacked += got;
        _hash.AppendData(buffer[..got]);
        if (Packed && _unpacked > AlwaysUnpacked && _unpacked > MostUnpackedFactor * Math.Max(1, _fileLength))
        {
            throw Fault(
                Path,
                $"the packed file unpacks to more than {MostUnpackedFactor} times its size",
                "This does not look like a log; unpack it yourself if you trust it."
            );
        }

        return got;
    }

    /// <summary>Number of lines in the whole file, including a last line without line break; null for a compressed or very large
    /// file.</summary>
    internal long? CountLines()
    {
        if (Packed || _fileLength > MostCounted || _file is not FileStream file)
        {
            return null;
        }

        byte[] buffer = ArrayPool<byte>.Shared.Rent(1 << 16);
        long at = 0,
            lines = 0;
        byte last = (byte)'\n';
        try
        {
            for (int got; (got = RandomAccess.Read(file.SafeFileHandle, buffer, at)) > 0; at += got)
            {
                lines += buffer.AsSpan(0, got).Count((byte)'\n');
                last = buffer[got - 1];
            }
        }
        catch (Exception e) when (e is IOException or NotSupportedException)
        {
            // The fault will be reported when the values of the file are read.
            return null;
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(buffer);
        }

        return lines + (last == '\n' ? 0 : 1);
    }

    /// <summary>SHA-256 over what has been read, hex.</summary>
    internal string Hash() => Convert.ToHexStringLower(_hash.GetHashAndReset());

    public void Dispose()
    {
        _hash.Dispose();
        _stream.Dispose();
        _file.Dispose();
    }

    /// <summary>Distinguishes a compressed file that ends too early from one whose bytes are wrong: the first was usually not copied
    /// completely.</summary>
    private static InputFaultException PackedFault(string path, Exception e) =>
        e is EndOfStreamException
            ? Fault(path, "the packed file is cut off: it ends in the middle of its data", "Copy it again, whole, or export it again.")
            : Fault(path, "the packed data are damaged", "Copy or export it again.");

    private static FileStream OpenFile(string path)
    {
        if (string.IsNullOrWhiteSpace(path))
        {
            throw Fault("(no name)", "no file is named", "Give the path of the log.");
        }

        try
        {
            if (Directory.Exists(path))
            {
                throw Fault(path, "this is a folder, not a file", "Name the log file in it.");
            }

            return new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, 1 << 16, FileOptions.SequentialScan);
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            throw Fault(path, "there is no such file", "Check the name and the folder.");
        }
        catch (Exception e) when (e is UnauthorizedAccessException or IOException or ArgumentException or NotSupportedException)
        {
            throw Fault(path, "the file can't be opened", "Check that you may read it and that no other program holds it.");
        }
    }

    private static LogSource Decode(string path, FileStream file, Stream inner, bool packed)
    {
        var buffered = new BufferedStream(inner, 1 << 16);
        byte[] start = new byte[64];
        int got;
        try
        {
            got = buffered.ReadAtLeast(start, start.Length, throwOnEndOfStream: false);
        }
        catch (Exception e) when (e is InvalidDataException or IOException)
        {
            throw packed ? PackedFault(path, e) : Fault(path, "the file could not be read", "Copy or export it again.");
        }

        if (got == 0)
        {
            throw Fault(path, "the file is empty", "Export the log again.");
        }

        ReadOnlySpan<byte> text = start.AsSpan(0, got);
        (Encoding? encoding, int mark, string name) = Detect(text);
        var whole = new ChainedStream(start.AsMemory(mark, got - mark), buffered);
        Stream stream = encoding is null ? whole : System.Text.Encoding.CreateTranscodingStream(whole, encoding, new UTF8Encoding(false));
        return new(path, file, stream, packed, name);
    }

    private static (Encoding?, int, string) Detect(ReadOnlySpan<byte> text)
    {
        if (text.StartsWith((ReadOnlySpan<byte>)[0xEF, 0xBB, 0xBF]))
        {
            return (null, 3, "UTF-8 with byte order mark");
        }

        if (text.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xFE, 0, 0]))
        {
            return (new UTF32Encoding(false, false), 4, "UTF-32");
        }

        if (text.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xFE]))
        {
            return (System.Text.Encoding.Unicode, 2, "UTF-16");
        }

        if (text.StartsWith((ReadOnlySpan<byte>)[0xFE, 0xFF]))
        {
            return (System.Text.Encoding.BigEndianUnicode, 2, "UTF-16");
        }

        int even = 0,
            odd = 0;
        for (int i = 0; i + 1 < text.Length; i += 2)
        {
            even += text[i] == 0 ? 1 : 0;
            odd += text[i + 1] == 0 ? 1 : 0;
        }

        int most = text.Length / 4;
        return even == 0 && odd > most ? (System.Text.Encoding.Unicode, 0, "UTF-16 without byte order mark")
            : odd == 0 && even > most ? (System.Text.Encoding.BigEndianUnicode, 0, "UTF-16 without byte order mark")
            : (null, 0, "UTF-8");
    }

    private static InputFaultException Fault(string path, string problem, string remedy) =>
        new(new InputFault(path, null, null, problem, remedy));
}
